//! Samples of one field chosen from a table of several, by the columns that tell them apart.

use super::support::{Ground, JOB, Job, Sample};

fn ground(ph: f64) -> Ground {
    let samples = [[-60.0, -60.0], [60.0, -60.0], [60.0, 60.0], [-60.0, 60.0]];
    let samples = samples.iter().enumerate().map(|(at, &[east_m, north_m])| Sample {
        east_m,
        north_m,
        ph: ph + 0.1 * at as f64,
        buffer_ph: Some(6.3),
    });
    Ground::square(200.0, samples.collect())
}

/// The rows of a table with two columns more.
fn with_columns(table: &str, cells: &str) -> String {
    let rows = table.lines().skip(1).map(|row| format!("{row},{cells}\n"));
    rows.collect::<Vec<_>>().concat()
}

const HEAD: &str = "sample_id,lon,lat,pH,BpH,Field,year\n";

/// A table of two fields and two years.
fn batch(ground: &Ground) -> String {
    let other = Ground { at: ground.degrees(1000.0, 0.0), ..self::ground(5.9) };
    [
        HEAD.to_owned(),
        with_columns(&other.table(), "South 9,2026"),
        with_columns(&ground.table(), "007,2026"),
        with_columns(&self::ground(6.2).table(), "007,2022"),
    ]
    .concat()
}

#[test]
fn the_rows_of_one_field_give_the_result_of_a_table_that_holds_only_them() {
    let ground = ground(5.2);
    let alone = Job::on(&ground).prescribed(&[]);
    let job = Job::new(JOB, &ground.boundary(), &batch(&ground));
    let sets = ["samples.select.Field=\"007\"", "samples.select.year=2026"];
    let chosen = job.prescribed(&sets);
    assert_eq!(chosen.map, alone.map);
    assert_eq!(chosen.summary["soil"], alone.summary["soil"]);
    assert!(chosen.value("/product_total") > 0.0);
    let text = std::fs::read_to_string(job.path("out/job.effective.toml")).unwrap();
    assert!(text.contains("[samples.select]") && text.contains("Field = \"007\""), "{text}");
}

#[test]
fn a_column_or_value_that_is_not_there_is_refused_with_the_choices() {
    let ground = ground(5.2);
    let job = Job::new(JOB, &ground.boundary(), &batch(&ground));
    let said = job.refused(&["samples.select.Feld=\"007\""]);
    assert!(said.contains("the rows have no column `Feld`"), "{said}");
    assert!(said.contains("did you mean `Field`?"), "{said}");
    let said = job.refused(&["samples.select.Field=\"7\""]);
    assert!(said.contains("none of the 12 rows has Field = \"7\""), "{said}");
    assert!(said.contains("values of `Field`: `South 9`, `007`"), "{said}");
    assert!(said.contains("correct `select` in [samples]"), "{said}");
    let said = job.refused(&["samples.layer=spring"]);
    assert!(said.contains("`samples.layer` chooses from a map file"), "{said}");
}

#[test]
fn samples_of_one_name_in_several_fields_of_a_long_table_are_told_apart() {
    let ground = ground(5.2);
    let alone = Job::on(&ground).prescribed(&[]);
    let mut long = String::from("Field,sample_id,lon,lat,analyte,value,unit\n");
    for row in batch(&ground).lines().skip(1).filter(|row| row.ends_with("2026")) {
        let cells: Vec<&str> = row.split(',').collect();
        for (analyte, value) in [("pH", cells[3]), ("BpH", cells[4])] {
            long += &[cells[5], cells[0], cells[1], cells[2], analyte, value, ""].join(",");
            long += "\n";
        }
    }
    let job = Job::new(JOB, &ground.boundary(), &long);
    let chosen = job.prescribed(&["samples.select.Field=\"007\""]);
    assert_eq!(chosen.map, alone.map);
}

#[test]
fn a_laboratorys_file_is_not_chosen_from() {
    let ground = ground(5.2);
    let alone = Job::on(&ground).prescribed(&[]);
    let points: Vec<String> = batch(&ground)
        .lines()
        .filter(|row| !row.ends_with("2022"))
        .map(|row| {
            let cells: Vec<&str> = row.split(',').collect();
            let prefix = if cells[5] == "South 9" { "X" } else { "" };
            format!("{prefix}{},{},{},{}\n", cells[0], cells[1], cells[2], cells[5])
        })
        .collect();
    let job = Job::new(JOB, &ground.boundary(), &points.concat());
    let lab: Vec<String> = ground
        .table()
        .lines()
        .map(|row| {
            let cells: Vec<&str> = row.split(',').collect();
            format!("{},{},{}\n", cells[0], cells[3], cells[4])
        })
        .collect();
    std::fs::write(job.path("lab.csv"), lab.concat()).unwrap();
    let sets = ["samples.lab=lab.csv", "samples.select.Field=\"007\""];
    assert_eq!(job.prescribed(&sets).map, alone.map);
}
