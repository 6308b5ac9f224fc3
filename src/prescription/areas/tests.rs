//! Areas of one rate: merges worked out by hand, and what must hold of any field.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;

use super::*;
use crate::field::{
    Cell, Field, LonLat, Partition, Shape, area_tests::assert_tile, lay_cells, lay_out,
};
use crate::inputs::{CoordinateSystem, RateChoice, RawBoundary, RawPolygon, RingsSorted};
use crate::machine::{Limit, Setting, WrittenRate};
use crate::prescription::{Orders, prescribe_overridden};
use crate::units::{Heading, Length, LimeNeed};

pub(super) fn tons(number: f64) -> WrittenRate {
    WrittenRate { number, unit: "ton/ac" }
}

fn machine_with(setting: Setting) -> Machine {
    Machine { pass_spacing: Length::from_metres(10.0), ..Machine::plain(setting) }
}

/// From 1 to 4 ton/ac in quarters of a ton.
fn machine() -> Machine {
    machine_with(Setting::steps(tons(1.0).rate(), tons(4.0).rate(), tons(0.25)).unwrap())
}

fn half() -> EffectiveFraction {
    EffectiveFraction::from_number(0.5).unwrap()
}

fn asked(choice: RateChoice, least_m2: f64, least_width_m: f64) -> RateAreasPart {
    RateAreasPart {
        choice,
        least_area: Area::from_square_metres(least_m2),
        least_width: Length::from_metres(least_width_m),
        end_rows: 0,
        polygons_at_most: None,
        vertices_at_most: None,
        only: None,
    }
}

/// A field drawn in metres about a place.
fn field_of(outer: &[[f64; 2]]) -> Field {
    let frame = crate::field::Frame::centred_on(LonLat { lon_deg: -93.2, lat_deg: 42.0 });
    let degrees = outer.iter().map(|&[x_m, y_m]| {
        let place = frame.inverse(crate::field::Point { x_m, y_m });
        [place.lon_deg, place.lat_deg]
    });
    let polygon = RawPolygon {
        feature: 1,
        outer: degrees.collect(),
        holes: Vec::new(),
        sorted: RingsSorted::ByTheFile,
    };
    let boundary = RawBoundary {
        file: "boundary.geojson".into(),
        system: CoordinateSystem::Wgs84Degrees,
        polygons: vec![polygon],
    };
    lay_out(&boundary).unwrap().0
}

/// A square of whole cells of 10 m, one rate in ton/ac for each, row by row from the south.
struct Square {
    cells: Cells,
    partition: Partition,
    own: Prescription,
    side: usize,
}

impl Square {
    fn of(rates: &[f64]) -> Self {
        let side = (rates.len() as f64).sqrt() as usize;
        let end = side as f64 * 10.0 - 0.001;
        let field = field_of(&[[0.0, 0.0], [end, 0.0], [end, end], [0.0, end]]);
        let partition = Partition::whole(&field);
        let cells =
            lay_cells(&field, &partition, Length::from_metres(10.0), Heading::ZERO).unwrap();
        assert_eq!(cells.list.len(), rates.len());
        // At half effective a need is half of its rate.
        let need = |(cell, &rate): (&Cell, &f64)| {
            (cell.area, LimeNeed::from_short_tons_per_acre(rate / 2.0))
        };
        let needs: Vec<_> = cells.list.iter().zip(rates).map(need).collect();
        let orders = Orders::default();
        let own = prescribe_overridden(&needs, &orders, half(), &machine(), partition.net).unwrap();
        Self { cells, partition, own, side }
    }

    /// Parts the cells between two regions.
    fn parted(
        mut self,
        second: impl Fn(u32, u32) -> bool,
        change: impl Fn(&mut crate::field::Region),
    ) -> Self {
        let mut region = self.partition.regions[0].clone();
        change(&mut region);
        self.partition.regions.push(region);
        for cell in &mut self.cells.list {
            cell.region = usize::from(second(cell.row, cell.column));
        }
        self
    }

    fn areas(&self, asked: &RateAreasPart) -> (Prescription, RateAreas) {
        let with = (&machine(), half());
        rate_areas(&self.cells, &self.partition, &self.own, with, asked).unwrap()
    }

    /// The rates of the cells in ton/ac, row by row from the north as one reads a map.
    fn drawn(&self, done: &Prescription) -> Vec<Vec<f64>> {
        let number = |cell: &super::super::CellRate| machine().setting.written(cell.rate).number;
        let all: Vec<f64> = done.cells.iter().map(number).collect();
        all.chunks(self.side).rev().map(<[f64]>::to_vec).collect()
    }
}

/// Rates as one reads a map, from the north.
fn map(rows: &[&[f64]]) -> Vec<f64> {
    rows.iter().rev().flat_map(|row| row.iter().copied()).collect()
}

#[test]
fn a_patch_goes_to_the_neighbour_whose_rate_is_nearest() {
    // The 2.5 in the middle borders on 2 (three sides) and on 2.75 (one side): a quarter of a ton
    // is less than half of one, so the longer border does not count. The 4 in the corner borders
    // on 2.75 alone.
    let rates = map(&[
        &[2.0, 2.0, 2.75, 2.75, 4.0],
        &[2.0, 2.0, 2.75, 2.75, 2.75],
        &[2.0, 2.0, 2.5, 2.75, 2.75],
        &[2.0, 2.0, 2.0, 2.75, 2.75],
        &[2.0, 2.0, 2.0, 2.75, 2.75],
    ]);
    let square = Square::of(&rates);
    let (done, areas) = square.areas(&asked(RateChoice::AsFitted, 350.0, 10.0));
    let expected = [
        vec![2.0, 2.0, 2.75, 2.75, 2.75],
        vec![2.0, 2.0, 2.75, 2.75, 2.75],
        vec![2.0, 2.0, 2.75, 2.75, 2.75],
        vec![2.0, 2.0, 2.0, 2.75, 2.75],
        vec![2.0, 2.0, 2.0, 2.75, 2.75],
    ];
    assert_eq!(square.drawn(&done), expected);
    assert_eq!((areas.list.len(), areas.polygons, areas.merged), (2, 2, 2));
    // South-west corner first: a rectangle with a step, 6 corners each.
    assert_eq!(areas.vertices, 12);
    // A quarter of a ton an acre more on 100 m2, one ton and a quarter less on 100 m2.
    let acres = 100.0 / 4_046.856_422_4;
    let near = |found: f64, expected: f64| (found / expected - 1.0).abs() < 1e-3;
    let (up, down) = (&done.limits.areas_up, &done.limits.areas_down);
    assert!(near(up.area.to_acres(), acres) && near(down.area.to_acres(), acres));
    assert!(near(up.product.to_short_tons(), 0.25 * acres), "{up:?}");
    assert!(near(down.product.to_short_tons(), 1.25 * acres), "{down:?}");
    let ledger = &done.ledger;
    assert!(near(ledger.areas_up.to_short_tons(), 0.125 * acres));
    assert!(near(ledger.areas_down.to_short_tons(), 0.625 * acres));
    let change = (ledger.product - ledger.own_product).to_short_tons();
    assert!(near(change, -acres), "{change}");
    assert_eq!(done.cells.iter().filter(|cell| cell.limit == Limit::RateArea).count(), 2);
}

#[test]
fn of_rates_as_near_the_longer_border_decides_then_the_first_area() {
    let rates = map(&[
        &[2.0, 2.0, 3.0, 3.0],
        &[2.0, 2.5, 3.0, 3.0],
        &[2.0, 2.0, 3.0, 3.0],
        &[2.0, 2.0, 3.0, 3.0],
    ]);
    let square = Square::of(&rates);
    let (done, _) = square.areas(&asked(RateChoice::AsFitted, 200.0, 10.0));
    assert_eq!(square.drawn(&done)[1], [2.0, 2.0, 3.0, 3.0], "three sides against one");
    // The field ends 1 mm before its last row and column, so the 2.5 is the smallest cell. It
    // borders on 2 and on 3 alike; 3 begins in the row below.
    let square = Square::of(&map(&[&[2.0, 2.5], &[3.0, 3.0]]));
    let (done, _) = square.areas(&asked(RateChoice::AsFitted, 99.985, 0.0));
    assert_eq!(square.drawn(&done), [[2.0, 3.0], [3.0, 3.0]]);
}

#[test]
fn no_patch_crosses_the_edge_of_its_region_and_a_whole_region_stays() {
    let rates = map(&[
        &[2.0, 2.0, 2.0, 2.0],
        &[2.0, 2.0, 2.0, 3.0],
        &[2.0, 2.0, 2.0, 2.0],
        &[2.0, 2.0, 2.0, 2.0],
    ]);
    let square = Square::of(&rates).parted(|_, column| column == 3, |_| {});
    let (done, areas) = square.areas(&asked(RateChoice::AsFitted, 500.0, 10.0));
    assert!(square.drawn(&done).iter().flatten().all(|rate| *rate == 2.0));
    // One area a region, though both have the same rate; the second is 400 m2, all it can be.
    assert_eq!(areas.list.len(), 2);
    assert_eq!(areas.list.iter().filter(|area| area.is_small).count(), 1);
}

#[test]
fn overridden_ground_is_left_as_it_was_ordered() {
    let rates = map(&[
        &[2.0, 2.0, 2.25, 3.0],
        &[2.0, 2.0, 1.0, 3.75],
        &[2.0, 2.0, 2.0, 3.0],
        &[2.0, 2.0, 2.0, 2.0],
    ]);
    let ordered = |_, column| column == 3;
    let square = Square::of(&rates).parted(ordered, |region| region.overrides = vec![0]);
    let (done, areas) = square.areas(&asked(RateChoice::AtMost(1), 500.0, 10.0));
    let drawn = square.drawn(&done);
    assert_eq!(drawn.iter().map(|row| row[3]).collect::<Vec<_>>(), [3.0, 3.75, 3.0, 2.0]);
    assert!(drawn.iter().all(|row| row[..3] == [2.0, 2.0, 2.0]), "{drawn:?}");
    assert_eq!(areas.list.iter().filter(|area| area.is_small).count(), 4);
}

#[test]
fn a_round_has_the_rate_of_its_mean_need() {
    let rates = map(&[
        &[1.5, 2.5, 3.0, 4.0],
        &[2.0, 2.0, 2.0, 2.0],
        &[2.0, 2.0, 2.0, 2.0],
        &[2.0, 2.0, 2.0, 2.0],
    ]);
    let square = Square::of(&rates).parted(|row, _| row == 3, |region| region.round = Some(1));
    let (done, areas) = square.areas(&asked(RateChoice::AsFitted, 0.0, 0.0));
    // (1.5 + 2.5 + 3 + 4) / 4 = 2.75.
    assert_eq!(square.drawn(&done)[0], [2.75; 4]);
    assert_eq!(areas.list.len(), 2);
    // Where two rates are one too many, the round and the rest have the one nearest to both:
    // (2 x 12 + 2.75 x 4) / 16 = 2.1875.
    let (done, _) = square.areas(&asked(RateChoice::AtMost(1), 0.0, 0.0));
    assert!(square.drawn(&done).iter().flatten().all(|rate| *rate == 2.25));
}

#[test]
fn narrow_ground_merges_however_large_it_is() {
    // A strip one cell wide and five long is large enough; wider than a cell is asked for.
    let rates = map(&[
        &[2.0, 2.0, 3.0, 2.0, 2.0],
        &[2.0, 2.0, 3.0, 2.0, 2.0],
        &[2.0, 2.0, 3.0, 2.0, 2.0],
        &[2.0, 2.0, 3.0, 2.0, 2.0],
        &[2.0, 2.0, 3.0, 2.0, 2.0],
    ]);
    let square = Square::of(&rates);
    let (done, areas) = square.areas(&asked(RateChoice::AsFitted, 400.0, 10.0));
    assert_eq!((areas.list.len(), square.drawn(&done)[0][2]), (3, 3.0));
    let (done, areas) = square.areas(&asked(RateChoice::AsFitted, 400.0, 12.0));
    assert_eq!((areas.list.len(), square.drawn(&done)[0][2]), (1, 2.0));
    // Blocks of two cells are 20 m wide and no more.
    let (_, areas) = square.areas(&asked(RateChoice::AsFitted, 400.0, 20.0));
    assert_eq!(areas.list.len(), 1);
}

#[test]
fn a_circle_fits_into_an_elbow_that_holds_no_square_as_wide() {
    // Three cells in an L: between its outer corner and the inner one a circle of 11.7 m fits,
    // 2 (2 - sqrt 2) of a cell, where no square larger than a cell does.
    let rates = map(&[&[3.0, 2.0, 2.0, 2.0], &[3.0, 3.0, 2.0, 2.0], &[2.0; 4], &[2.0; 4]]);
    let square = Square::of(&rates);
    let count = |width| square.areas(&asked(RateChoice::AsFitted, 100.0, width)).1.list.len();
    assert_eq!((count(11.6), count(12.0)), (2, 1));
}

#[test]
fn caps_are_met_by_merging_more_or_told_where_they_cannot_be() {
    let rates = map(&[
        &[2.0, 2.0, 2.0, 2.0],
        &[2.0, 3.0, 2.0, 4.0],
        &[2.0, 2.0, 2.0, 4.0],
        &[3.5, 3.5, 3.5, 3.5],
    ]);
    let square = Square::of(&rates);
    let free = asked(RateChoice::AsFitted, 0.0, 0.0);
    let (_, areas) = square.areas(&free);
    assert_eq!((areas.polygons, areas.within_caps, areas.raised_to), (4, true, None));
    let (done, areas) = square.areas(&RateAreasPart { polygons_at_most: Some(3), ..free.clone() });
    assert_eq!((areas.polygons, areas.within_caps), (3, true));
    assert!(square.drawn(&done)[1][1] == 2.0, "the smallest went first");
    assert!((areas.raised_to.unwrap().to_square_metres() - 100.0).abs() < 0.1);
    let (_, areas) = square.areas(&RateAreasPart { vertices_at_most: Some(8), ..free.clone() });
    assert!(areas.vertices <= 8 && areas.within_caps, "{}", areas.vertices);
    let (_, areas) = square.areas(&RateAreasPart { vertices_at_most: Some(3), ..free.clone() });
    // Even one area has four: nothing merges in vain.
    assert_eq!((areas.polygons, areas.within_caps), (4, false));
    assert_eq!(areas.fewest, Some([1, 4]));
}

#[test]
fn ground_that_needs_nothing_keeps_its_own_rate_whatever_the_choice() {
    let rates = map(&[&[0.0, 0.0, 4.0], &[0.0, 1.0, 4.0], &[1.0, 1.0, 3.75]]);
    let square = Square::of(&rates);
    let (done, _) = square.areas(&asked(RateChoice::AtMost(1), 0.0, 0.0));
    for (own, now) in square.own.cells.iter().zip(&done.cells) {
        assert_eq!(own.rate.spreads(), now.rate.spreads());
    }
    assert_eq!(done.rates.len(), 2, "nothing, and one rate");
}

#[test]
fn areas_that_are_held_back_get_nothing_and_their_need_stands_in_the_ledger() {
    let square = Square::of(&map(&[&[0.0, 2.0, 2.0], &[1.0, 3.0, 3.0], &[1.0, 1.0, 3.0]]));
    let (done, areas) = square.areas(&asked(RateChoice::AsFitted, 0.0, 0.0));
    let only = [2];
    let (held, after) = hold_areas_back(&done, &areas, &only, (&machine(), half())).unwrap();
    let kg = |mass: CarbonateMass| mass.to_kilograms();
    assert!(kg(held.ledger.held_back) > 1.0);
    assert!((kg(held.ledger.need) - kg(done.ledger.need)).abs() < 1e-6);
    let unmet = held.ledger.unmet() - held.ledger.excess();
    assert!((kg(held.ledger.need) - kg(held.ledger.supplied + unmet)).abs() < 1e-6);
    for (number, (before, now)) in (1_u32..).zip(areas.list.iter().zip(&after.list)) {
        if only.contains(&number) {
            assert_eq!((before.rate, before.product), (now.rate, now.product));
        } else {
            assert_eq!((now.rate.spreads(), now.product), (false, ProductMass::ZERO));
        }
    }
    let product: f64 = areas.list.iter().map(|area| area.product.to_kilograms()).sum();
    let kept = areas.list[1].product.to_kilograms();
    let left_out = held.ledger.held_back_product.to_kilograms();
    assert!((product - kept - left_out).abs() < 1e-6 && kept > 1.0);
    assert!((left_out - held.limits.held_back.product.to_kilograms()).abs() < 1e-6);
    // Ground that gets nothing anyway is not held back.
    let spread = done.cells.iter().filter(|cell| cell.rate.spreads()).count();
    let held_back = held.cells.iter().filter(|cell| cell.limit == Limit::HeldBack).count();
    assert_eq!(held_back, spread - areas.list[1].cells.len());
    // All of them limed is the same as nothing said.
    let all: Vec<u32> = (1..=areas.list.len() as u32).collect();
    let (same, _) = hold_areas_back(&done, &areas, &all, (&machine(), half())).unwrap();
    assert_eq!((same.cells, same.ledger), (done.cells, done.ledger));
}

/// What must hold of the areas of any cells.
fn assert_areas(
    cells: &Cells,
    partition: &Partition,
    (own, done): (&Prescription, &Prescription),
    areas: &RateAreas,
    asked: &RateAreasPart,
) {
    let total: f64 = areas.list.iter().map(|area| area.area.to_square_metres()).sum();
    assert!((total / own.area.to_square_metres() - 1.0).abs() < 1e-9);
    let listed: usize = areas.list.iter().map(|area| area.cells.len()).sum();
    assert_eq!(listed, cells.list.len());
    // Neighbours by their vertices, found in another way than by the program.
    let mut sides: BTreeMap<(u32, u32), Vec<u32>> = BTreeMap::new();
    for (number, cell) in (0_u32..).zip(&cells.list) {
        let pieces = match &cell.shape {
            Shape::Whole(at) => vec![PieceRings { outer: at.to_vec(), holes: Vec::new() }],
            Shape::Cut(pieces) => pieces.clone(),
        };
        for (a, b) in pieces.iter().flat_map(PieceRings::edges) {
            sides.entry((a.min(b), a.max(b))).or_default().push(number);
        }
    }
    let mut beside: Vec<BTreeSet<u32>> = vec![BTreeSet::new(); cells.list.len()];
    for pair in sides.values().filter(|cells| cells.len() == 2) {
        beside[pair[0] as usize].insert(pair[1]);
        beside[pair[1] as usize].insert(pair[0]);
    }
    let region = |cell: u32| cells.list[cell as usize].region;
    for (number, area) in (0_u32..).zip(&areas.list) {
        let first = area.cells[0];
        let mut reached = BTreeSet::from([first]);
        let mut waiting = vec![first];
        while let Some(cell) = waiting.pop() {
            for &other in &beside[cell as usize] {
                if areas.of_cell[other as usize] == number && reached.insert(other) {
                    waiting.push(other);
                }
            }
        }
        assert_eq!(reached, area.cells.iter().copied().collect(), "connected");
        for &cell in &area.cells {
            assert_eq!(region(cell), area.region);
            assert_eq!(done.cells[cell as usize].rate, area.rate);
        }
        let neighbours = || area.cells.iter().flat_map(|&cell| &beside[cell as usize]).copied();
        let mut others = neighbours().filter(|&other| {
            region(other) == area.region && areas.of_cell[other as usize] != number
        });
        let settled = !partition.regions[area.region].overrides.is_empty();
        if !settled && area.area < asked.least_area {
            assert!(others.next().is_none(), "a small area has ground to merge with");
            assert!(area.is_small);
        }
        assert!(
            !neighbours().any(|other| {
                areas.of_cell[other as usize] != number
                    && region(other) == area.region
                    && done.cells[other as usize].rate == area.rate
            }),
            "two areas of one rate side by side"
        );
    }
    for (own, (now, cell)) in own.cells.iter().zip(done.cells.iter().zip(&cells.list)) {
        assert_eq!(now.own, own.own);
        if !partition.regions[cell.region].overrides.is_empty() {
            assert_eq!(now.rate, own.rate, "what was ordered stays");
        }
    }
    let shapes: Vec<Vec<PieceRings>> = areas.list.iter().map(|area| area.shape.clone()).collect();
    assert_tile(cells, &shapes);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn areas_of_any_field_hold_what_was_asked(
        radii in prop::collection::vec(40.0..160.0_f64, 7..24),
        cell_m in 6.0..25.0_f64,
        heading in prop::sample::select(vec![0.0, 90.0, 27.0]),
        needs in prop::collection::vec(0.0..2.4_f64, 40),
        coarse in 1_u32..4,
        (least_m2, least_width_m) in (0.0..6_000.0_f64, 0.0..30.0_f64),
        choice in prop_oneof![
            Just(RateChoice::AsFitted),
            (1_u32..4).prop_map(RateChoice::AtMost),
            (0.0..0.8_f64).prop_map(|tolerance| RateChoice::Within(tons(tolerance).rate())),
        ],
        (bands, ordered) in (1_u32..4, any::<bool>()),
        polygons_at_most in prop::option::of(1_u32..9),
    ) {
        let angle = |at: usize| std::f64::consts::TAU * at as f64 / radii.len() as f64;
        let corner = |(at, radius): (usize, &f64)| {
            [radius * angle(at).cos(), radius * angle(at).sin()]
        };
        let outer: Vec<[f64; 2]> = radii.iter().enumerate().map(corner).collect();
        let field = field_of(&outer);
        let mut partition = Partition::whole(&field);
        let heading = Heading::from_degrees(heading);
        let mut cells =
            lay_cells(&field, &partition, Length::from_metres(cell_m), heading).unwrap();
        for band in 1..bands {
            let mut region = partition.regions[0].clone();
            if ordered && band == 1 {
                region.overrides = vec![0];
            }
            partition.regions.push(region);
        }
        for cell in &mut cells.list {
            cell.region = ((cell.row + cell.column / 3) / 4 % bands) as usize;
        }
        let need = |cell: &Cell| {
            let at = (cell.row / coarse * 7 + cell.column / coarse * 3) as usize % needs.len();
            (cell.area, LimeNeed::from_short_tons_per_acre(needs[at]))
        };
        let needs: Vec<_> = cells.list.iter().map(need).collect();
        let orders = Orders::default();
        let own =
            prescribe_overridden(&needs, &orders, half(), &machine(), partition.net).unwrap();
        let asked = RateAreasPart { polygons_at_most, ..asked(choice, least_m2, least_width_m) };
        let with = (&machine(), half());
        let made = rate_areas(&cells, &partition, &own, with, &asked);
        let (done, areas) = made.unwrap();
        assert_areas(&cells, &partition, (&own, &done), &areas, &asked);
        if let Some(most) = polygons_at_most {
            prop_assert_eq!(areas.within_caps, areas.polygons <= most as usize);
        }
    }
}
