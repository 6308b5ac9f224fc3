//! The driver's page: what stands on it, and what does not.

use super::four_cells::ground;
use super::support::{Job, assert_near};

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
