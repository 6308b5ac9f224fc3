//! The driver's page: what stands on it, and what does not.

use super::four_cells::ground;
use super::support::{Ground, Job, Sample, assert_near};

fn page(sets: &[&str], name: &str) -> String {
    let job = Job::on(&ground());
    job.prescribed(sets);
    std::fs::read_to_string(job.path("out").join(name)).unwrap()
}

/// The text of a page without its marks, its style and its drawing.
fn words(page: &str) -> String {
    let mut text = String::new();
    let mut rest = page.split("</style>").nth(1).unwrap();
    while let Some(open) = rest.find('<') {
        text.push_str(&rest[..open]);
        text.push(' ');
        rest = &rest[open..];
        let end = if rest.starts_with("<svg") { "</svg>" } else { ">" };
        rest = &rest[rest.find(end).unwrap() + end.len()..];
    }
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

const PRICED: [&str; 4] = [
    "material.price=14 $/ton",
    "material.price_at=plant",
    "haul.one_way_distance=10 mi",
    "haul.cost=0.25 $/ton-mile",
];

#[test]
fn rates_loads_and_flow_stand_on_the_page_and_prices_do_not() {
    let sets = [
        "spreader.speed=10 mph",
        "spreader.bucket_volume=2 yd3",
        "material.bulk_density=90 lb/ft3",
    ];
    let page = page(&[&sets[..], &PRICED].concat(), "driver.html");
    let words = words(&page);
    // 0, 1, 2 and 3 ton/ac on a cell of 0.395 ac each; the least area is written with one decimal.
    for row in ["1 0.4 0.4", "2 0.4 0.8", "3 0.4 1.2"] {
        assert!(words.contains(row), "{row}: {words}");
    }
    // 2.37 ton in one load of the test spreader; a bucket of 2 yd3 holds 2 x 27 x 90 = 4,860 lb.
    assert!(words.contains("2.4 ton in all"), "{words}");
    assert!(words.contains("90 lb/ft3 to set; weigh a pail first"), "{words}");
    assert!(words.contains("a full load, of 2.00 yd3"), "{words}");
    // lb/min = lb/ac x mph x ft / 495, as in the identity that the machine's flow is held against.
    let spacing_ft = 40.0 / 0.3048;
    let flow = 2_000.0 * 10.0 * spacing_ft / 495.0;
    let told = format!("{},{:03.0}", (flow / 1_000.0) as u32, flow % 1_000.0);
    assert!(words.contains(&told), "{told}: {words}");
    for price in ["$", "price", "cost"] {
        assert!(!page.to_lowercase().contains(price), "{price} stands on the page");
    }
    for outside in ["http://", "https://", "<script", "<link", "<img", "url(h"] {
        let allowed = page.replace("http://www.w3.org/2000/svg", "");
        assert!(!allowed.contains(outside), "{outside}");
    }
    for caution in ["power lines", "dust mask", "wells", "label"] {
        assert!(words.contains(caution), "{caution}: {words}");
    }
}

#[test]
fn factors_are_of_dry_matter_and_of_density_and_never_of_both() {
    let sets = [
        "material.effective=50 % dry",
        "material.moisture=10 %",
        "material.bulk_density=90 lb/ft3",
    ];
    let page = words(&page(&sets, "driver.html"));
    // Moisture of 4 to 16 %: (100 - 10) / (100 - moisture).
    assert!(
        page.contains("% 4 6 8 10 12 14 16 rates x 0.94 0.96 0.98 1.00 1.02 1.05 1.07"),
        "{page}"
    );
    // Densities of 0.85 to 1.15 times 90: the inverse.
    assert!(
        page.contains("76.5 81 85.5 90 94.5 99 103.5 rates x 1.18 1.11 1.05 1.00 0.95 0.91 0.87"),
        "{page}"
    );
    assert!(page.contains("never multiply a rate by both"), "{page}");
    let none = words(&self::page(&["material.effective=50 % as received"], "driver.html"));
    assert!(none.contains("moisture of the tested material is not stated"), "{none}");
    assert!(none.contains("not stated: weigh a pail"), "{none}");
}

#[test]
fn three_spots_have_a_place_and_the_rate_that_the_map_has_there() {
    let job = Job::on(&ground());
    let outcome = job.prescribed(&[]);
    let page = words(&std::fs::read_to_string(job.path("out/driver.html")).unwrap());
    let spots = page.split("Check the controller here").nth(1).unwrap();
    for (name, rate) in [("A", 3.0), ("B", 2.0), ("C", 0.0)] {
        let after = spots.split(&format!(" {name} ")).nth(1).unwrap();
        let numbers: Vec<f64> = after
            .split_whitespace()
            .take(3)
            .map(|word| word.trim_end_matches(',').parse().unwrap())
            .collect();
        if name != "B" {
            assert_near(numbers[2], rate, 1e-12, name);
        }
        let inside = outcome.features().iter().find(|feature| {
            let ring = feature["geometry"]["coordinates"][0].as_array().unwrap();
            let of = |axis: usize| ring.iter().map(move |at| at[axis].as_f64().unwrap());
            let within = |axis, value: f64| {
                of(axis).fold(f64::MAX, f64::min) < value
                    && value < of(axis).fold(f64::MIN, f64::max)
            };
            within(0, numbers[1]) && within(1, numbers[0])
        });
        let on_map = inside.unwrap()["properties"]["rate_ton_ac"].as_f64().unwrap();
        assert_near(numbers[2], on_map, 1e-12, name);
    }
}

#[test]
fn each_application_has_a_page_and_text_from_data_is_escaped() {
    let job = Job::on(&ground());
    job.prescribed(&[
        "spreader.applications=2",
        "field.name=<b>North & \"3\"</b>",
        "field.hazards=[\"power line <east>\"]",
        "field.pile=[-93.2,42.0]",
    ]);
    let read = |name: &str| std::fs::read_to_string(job.path("out").join(name)).unwrap();
    assert!(!job.path("out/driver.html").exists());
    for (name, application) in
        [("driver_1_of_2.html", "application 1 of 2"), ("driver_2_of_2.html", "application 2 of 2")]
    {
        let page = read(name);
        assert!(words(&page).contains(application), "{name}");
        assert!(page.contains("&lt;b&gt;North &amp; ") && !page.contains("<b>North"), "{name}");
        assert!(page.contains("power line &lt;east&gt;"), "{name}");
        assert!(page.contains("id=\"pile\""), "{name}");
    }
}

#[test]
fn a_second_unit_stands_beside_the_first_and_the_map_has_the_words_of_the_table() {
    let page = page(&["export.unit=lb/ac"], "driver.html");
    let svg = page.split("<g id=\"rates-in-words\"").nth(1).unwrap().split("</g>").next().unwrap();
    for (pounds, tons) in [("0", "0"), ("1,000", "0.5"), ("2,000", "1"), ("6,000", "3")] {
        let cells = format!("<td class=\"big\">{pounds}</td><td class=\"own\">{tons}</td>");
        // 0.5 ton/ac is below the least rate of the spreader.
        assert_eq!(page.contains(&cells), pounds != "1,000", "{cells}: {page}");
        assert_eq!(svg.contains(&format!(">{pounds}</text>")), pounds != "1,000", "{svg}");
    }
    assert!(!page.contains("<tfoot>"), "{page}");
}

#[test]
fn where_nothing_is_spread_the_page_says_so_and_leaves_out_what_it_takes() {
    let sample = |east_m, north_m| Sample { east_m, north_m, ph: 6.9, buffer_ph: Some(7.0) };
    let samples = [(-20.0, -20.0), (20.0, -20.0), (-20.0, 20.0), (20.0, 20.0)];
    let limed = Ground::square(80.0, samples.map(|(east, north)| sample(east, north)).to_vec());
    let job = Job::on(&limed);
    job.prescribed(&[
        "spreader.speed=10 mph",
        "spreader.bucket_volume=2 yd3",
        "material.bulk_density=90 lb/ft3",
    ]);
    let page = words(&std::fs::read_to_string(job.path("out/driver.html")).unwrap());
    assert!(page.contains("Load Nothing to spread"), "{page}");
    for none in ["a full load", "weigh a pail", "flow at", "factor", "lb/min"] {
        assert!(!page.contains(none), "{none}: {page}");
    }
}

#[test]
fn a_long_name_is_cut_but_in_the_title_and_a_revision_tells_what_it_supersedes() {
    let name = "Long Meadow ".repeat(10);
    let page = page(&[&format!("field.name={}", name.trim()), "dates.revision=3"], "driver.html");
    assert!(page.contains(&format!("<title>{}: spread", name.trim())), "{page}");
    assert!(page.contains("\u{2026}</h1>"), "{page}");
    assert!(words(&page).contains("revision 3, supersedes revision 2"), "{page}");
}

#[test]
fn a_pile_far_off_and_one_on_kept_out_ground_are_told() {
    let at = ground().degrees(0.0, 0.0);
    let pile = |off_deg: f64| format!("field.pile=[{},{}]", at.lon_deg + off_deg, at.lat_deg);
    let found = |key: &str, sets: &[&str]| {
        let job = Job::on(&ground());
        let well =
            format!("{{\"type\":\"Point\",\"coordinates\":[{},{}]}}", at.lon_deg, at.lat_deg);
        std::fs::write(job.path("well.geojson"), well).unwrap();
        job.prescribed(sets).finding(key).map(str::to_owned)
    };
    let said = found("pile_far_from_field", &[&pile(0.2)]).unwrap();
    assert!(said.contains("longitude comes first") && said.contains(" mi from"), "{said}");
    // 0.02 degrees are 1.1 to 2.2 km up to 60 degrees of latitude.
    assert_eq!(found("pile_far_from_field", &[&pile(0.02)]), None);
    let kept_out = ["field.keep_out=well.geojson", "field.setback=30 ft"];
    let in_the_well = pile(0.0);
    let on_it = [&kept_out[..], &[&in_the_well]].concat();
    assert!(found("pile_in_keep_out", &on_it).is_some());
    assert_eq!(found("pile_in_keep_out", &[&in_the_well]), None);
}

#[test]
fn a_pile_that_is_no_place_and_too_many_hazards_are_refused() {
    for (set, said_of_it) in [
        ("field.pile=[42.0]", "longitude comes first"),
        ("field.pile=[-93.2,142.0]", "longitude comes first"),
        ("field.hazards=[\"\"]", "1 to 120 characters"),
        ("field.hazards=[\"a\",\"b\",\"c\",\"d\",\"e\",\"f\",\"g\"]", "at most 6"),
        ("spreader.bucket_volume=3 lb", "yd3"),
    ] {
        let said = Job::on(&ground()).refused(&[set]);
        assert!(said.contains(said_of_it), "{set}: {said}");
    }
}
