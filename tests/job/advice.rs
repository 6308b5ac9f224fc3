//! Methods on one job: which can read its samples and which cannot and why; and side by side, each
//! as a run of its own has it. All fields are invented.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use limewright::summary::MethodAdvice;
use serde_json::Value;

use super::by_zone;
use super::four_cells::ground;
use super::support::{JOB, Job, limewright, root};

/// What the command prints for programs, and on standard error, on a job that it must take.
fn advice_on(job: &Path, more: &[&str]) -> (Value, String) {
    let output =
        limewright().args(["methods", "--job"]).arg(job).args(more).arg("--json").output().unwrap();
    let said = flat(&output.stderr);
    assert!(output.status.success(), "{said}");
    assert!(said.contains("Nothing was written."), "{said}");
    // The shape refuses keys that it does not know.
    let read: MethodAdvice = serde_json::from_slice(&output.stdout).unwrap();
    assert!(!read.methods.is_empty());
    (serde_json::from_slice(&output.stdout).unwrap(), said)
}

/// What it prints for people, its line breaks taken out.
fn text_on(job: &Path, more: &[&str]) -> String {
    let output = limewright().args(["methods", "--job"]).arg(job).args(more).output().unwrap();
    assert!(output.status.success(), "{}", flat(&output.stderr));
    flat(&output.stdout)
}

fn flat(bytes: &[u8]) -> String {
    let text = String::from_utf8_lossy(bytes).replace('│', " ");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn method<'a>(advice: &'a Value, id: &str) -> &'a Value {
    let methods = advice["methods"].as_array().unwrap();
    methods.iter().find(|method| method["id"] == id).unwrap_or_else(|| panic!("no {id}"))
}

/// Why a method does not run.
fn reasons(advice: &Value, id: &str) -> Vec<String> {
    let reasons = method(advice, id)["reasons"].as_array().cloned().unwrap_or_default();
    reasons.iter().map(|reason| reason["text"].as_str().unwrap().to_owned()).collect()
}

fn run_methods(advice: &Value) -> Vec<String> {
    let methods = advice["methods"].as_array().unwrap().iter();
    let ran = methods.filter(|method| method.get("result").is_some());
    ran.map(|method| method["id"].as_str().unwrap().to_owned()).collect()
}

/// The summary of a run of its own with this method, or what refuses it.
fn alone(job: &Path, id: &str, sets: &[&str]) -> Result<Value, String> {
    let mut run = limewright();
    run.args(["prescribe", "--json", "--allow-unverified", "--set", &format!("need.method={id}")]);
    run.args(sets.iter().flat_map(|set| ["--set", set])).arg(job);
    let output = run.output().unwrap();
    if output.status.success() {
        return Ok(serde_json::from_slice(&output.stdout).unwrap());
    }
    assert_eq!(output.status.code(), Some(1));
    Err(flat(&output.stderr))
}

/// Holds every method of a job against a run of its own: the same figures to the last digit, or
/// refused with the same reasons. Returns how many were run.
fn hold_each(job: &Path, sets: &[&str]) -> usize {
    let mut more = vec!["--side-by-side", "--allow-unverified"];
    more.extend(sets.iter().flat_map(|set| ["--set", set]));
    let (advice, _) = advice_on(job, &more);
    for part in advice["methods"].as_array().unwrap() {
        let id = part["id"].as_str().unwrap();
        match (part["standing"].as_str().unwrap(), alone(job, id, sets)) {
            ("can run", Ok(summary)) => {
                let result = &part["result"];
                for key in [
                    "need_total",
                    "product_total",
                    "to_order",
                    "mean_rate",
                    "treated_area",
                    "unmet_total",
                    "table_limit_area",
                ] {
                    assert_eq!(result[key], summary[key], "{id}: {key}");
                }
                assert_eq!(result["cost_total"], summary["haul"]["cost_total"], "{id}");
                assert_eq!(result["cost_covers"], summary["haul"]["cost_covers"], "{id}");
                let number = |of: &Value| of["value"].as_f64().unwrap();
                let mean = number(&summary["need_total"]) / number(&advice["area"]);
                assert!((number(&result["need_mean"]) - mean).abs() <= 1e-12 * mean, "{id}");
                let beyond = &summary["table_limit_area"];
                let share =
                    (number(&beyond["below"]) + number(&beyond["above"])) / number(&advice["area"]);
                assert!((result["table_limit_share"].as_f64().unwrap() - share).abs() < 1e-12);
                let told = summary["findings"].as_array().unwrap();
                for note in part["notes"].as_array().unwrap_or(&Vec::new()) {
                    assert!(told.iter().any(|finding| finding["text"] == *note), "{id}: {note}");
                }
            }
            ("not comparable", Ok(_)) => assert!(part.get("result").is_none(), "{id}"),
            ("cannot run", Err(said)) => {
                for reason in reasons(&advice, id) {
                    let is_told = said.contains(&flat(reason.as_bytes()));
                    assert!(
                        is_told || reason.contains("carried from one medium"),
                        "{id}: {reason}"
                    );
                }
            }
            (standing, run) => panic!("{id}: {standing}, and alone: {run:?}"),
        }
    }
    run_methods(&advice).len()
}

fn sample_field(name: &str) -> std::path::PathBuf {
    root().join("sample_fields").join(name).join("job.toml")
}

#[test]
fn each_method_side_by_side_is_what_a_run_of_its_own_gives() {
    let heron = sample_field("heron_flat");
    assert_eq!(hold_each(&heron, &[]), 7);
    assert!(hold_each(&heron, &["need.limed_depth=8 in", "target.ph=6.6"]) > 2);
    let linden = sample_field("linden_bank");
    assert_eq!(hold_each(&linden, &[]), 1);
    assert_eq!(hold_each(&linden, &["target.ph=6.5"]), 2);
}

#[test]
fn the_spread_is_told_in_sentences_to_be_repeated() {
    let heron = sample_field("heron_flat");
    let text = text_on(&heron, &["--side-by-side"]);
    let sentences = [
        "On this field the methods ask for 150 to 350 short tons to order; the one in the job asks \
         for 300.",
        "`ph-uk-grass` asks for 2.3 times as much as `ph-western-greece`.",
        "The difference costs $4,900.00 (product + haul).",
        "this program does not say which is right: each holds for the soils it was made on, and \
         `limewright methods ID` tells which they are",
        "Side by side on 160.00 ac; Pit 4 calcitic as spread (wet)",
        "175.56 300.00 $7,350.00 smp-iowa (in the job)",
        "17.2 % of the samples read beyond its rows (11 below, 0 above), where its end value is \
         taken.",
    ];
    let readme = flat(&fs::read(root().join("README.md")).unwrap());
    for sentence in sentences {
        assert!(text.contains(sentence), "{sentence}: {text}");
    }
    for sentence in &sentences[..3] {
        assert!(readme.contains(sentence), "{sentence} is not in the README");
    }
    let (advice, _) = advice_on(&heron, &["--side-by-side"]);
    let orders: BTreeMap<String, f64> = run_methods(&advice)
        .into_iter()
        .map(|id| {
            let order = method(&advice, &id)["result"]["to_order"]["value"].as_f64().unwrap();
            (id, order)
        })
        .collect();
    let spread = &advice["spread"]["to_order"];
    let [low, high] = ["lowest", "highest"].map(|end| spread[end]["value"].as_f64().unwrap());
    assert_eq!(low, orders.values().copied().fold(f64::INFINITY, f64::min));
    assert_eq!(high, orders.values().copied().fold(0.0, f64::max));
    assert_eq!(spread["highest_method"], "ph-uk-grass");
    assert!((spread["ratio"].as_f64().unwrap() - high / low).abs() < 1e-12);
    assert_eq!(spread["difference"]["value"].as_f64().unwrap(), high - low);
    let unverified = text_on(&heron, &["--side-by-side", "--allow-unverified"]);
    assert!(unverified.contains("smp-kansas (from memory)"), "{unverified}");
    assert!(!text.contains("$ smp-kansas"), "{text}");
    let linden = sample_field("linden_bank");
    let text = text_on(&linden, &["--side-by-side"]);
    let only = "Only `ph-uk-arable` runs on these samples and asks for 112 t to order";
    assert!(text.contains(only), "{text}");
    let text = text_on(&linden, &["--side-by-side", "--set", "target.ph=6.5"]);
    assert!(text.contains("; the one in the job is not among them."), "{text}");
}

/// The job of four cells with some lines put in place of others.
fn job_with(pairs: &[(&str, &str)], samples: &str) -> Job {
    let text = pairs.iter().fold(JOB.to_owned(), |job, (line, replaced_by)| {
        assert!(job.contains(line), "{line} is not in the job");
        job.replace(line, replaced_by)
    });
    Job::new(&text, &ground().boundary(), samples)
}

/// The samples of four cells with more columns, the same in every row.
fn samples_with(header: &str, values: &str) -> String {
    let table = ground().table();
    let mut rows = table.lines();
    let first = format!("{},{header}\n", rows.next().unwrap());
    rows.fold(first, |all, row| format!("{all}{row},{values}\n"))
}

#[test]
fn every_reason_why_a_method_cannot_run_is_told_in_a_sentence() {
    let job = job_with(
        &[
            ("buffer = \"smp\"", "buffer = \"sikora\""),
            ("limed_depth = \"6 in\"", "limed_depth = \"7 in\""),
        ],
        &samples_with("texture,CEC (meq/100 g)", "silt loam,12"),
    );
    let (advice, _) = advice_on(&job.path("job.toml"), &[]);
    let said = |id: &str| reasons(&advice, id).join(". ");
    for (id, parts) in [
        (
            "smp-iowa",
            &["the laboratory ran the sikora buffer, and `smp-iowa` was made for the smp buffer"][..],
        ),
        ("ph-uk-arable", &["does not serve the target pH 6.5 (water 1:2.5), only pH 6.7"]),
        (
            "exchangeable-acidity-pennsylvania",
            &["reads the exchangeable acidity, and there is no column with it in a known unit"],
        ),
        ("ph-western-greece", &["states no depth, and the limed depth is not the sampled depth"]),
        ("weakly-buffered", &["states no depth"]),
        (
            "ph-aluminium-vermont",
            &["reads the aluminium, and there is no column", "samples.al_extract does not say"],
        ),
        ("texture-victoria", &["reads the organic carbon", "no target is carried from one medium"]),
        (
            "smp-kansas",
            &[
                "were written from memory, and it runs only with --allow-unverified",
                "the sikora buffer",
            ],
        ),
    ] {
        assert_eq!(method(&advice, id)["standing"], "cannot run", "{id}");
        for part in parts {
            assert!(said(id).contains(part), "{id}: {part}: {}", said(id));
        }
    }
    let oregon = method(&advice, "sikora-oregon");
    assert_eq!(oregon["standing"], "can run");
    let notes = oregon["notes"].to_string();
    assert!(
        notes.contains("they are multiplied by 1.1667, limed depth over table depth"),
        "{notes}"
    );
    assert!(advice.get("spread").is_none() && advice.get("area").is_none());
    let hand = &advice["at_hand"];
    assert_eq!(hand[0]["measured_in"], "water 1:1");
    assert_eq!((&hand[1]["key"], &hand[1]["measured_in"]), (&"buffer_ph".into(), &"sikora".into()));
    assert_eq!(hand[2]["key"], "texture");
    assert_eq!(hand[3]["measured_in"], "meq/100 g");
    let text = text_on(&job.path("job.toml"), &[]);
    let told = "The laboratory ran the sikora buffer, and `smp-iowa` was made for the smp buffer.";
    assert!(text.contains(told), "{text}");
}

#[test]
fn soils_without_a_need_are_told_with_their_samples() {
    let samples = samples_with("texture,CEC (meq/100 g)", "silt loam,12");
    let job = job_with(&[], &samples);
    let (advice, _) = advice_on(&job.path("job.toml"), &[]);
    let texture = &method(&advice, "ph-texture")["reasons"][0];
    assert_eq!(texture["text"], "`ph-texture` has no needs for the texture class silt loam");
    assert_eq!(texture["samples"].as_array().unwrap().len(), ground().samples.len());
    let weak = &method(&advice, "weakly-buffered")["reasons"][0];
    assert!(weak["text"].as_str().unwrap().contains("holds below a cation exchange capacity of 7"));
    let text = text_on(&job.path("job.toml"), &[]);
    assert!(text.contains("the texture class silt loam (S00, S01, S02, S03)."), "{text}");
}

#[test]
fn a_target_of_another_kind_is_told() {
    let job = job_with(&[("ph = 6.5", "base_saturation = \"60 %\"")], &ground().table());
    let (advice, _) = advice_on(&job.path("job.toml"), &["--side-by-side"]);
    let said = reasons(&advice, "ph-uk-grass").join(". ");
    assert!(said.contains("limes to a pH, and the job's target is a base saturation"), "{said}");
    assert_eq!(advice["target"], "60 % base saturation");
    assert!(advice.get("target_medium").is_none());
    assert!(advice.get("spread").is_none(), "no method at hand could run");
    let text = text_on(&job.path("job.toml"), &["--side-by-side"]);
    assert!(text.contains("No method can run on these samples as the job states them."), "{text}");
}

#[test]
fn a_target_is_not_carried_into_another_medium() {
    let job = job_with(&[], &samples_with("texture,organic carbon (%)", "clay loam,1.5"));
    let path = job.path("job.toml");
    let (advice, _) = advice_on(&path, &["--side-by-side"]);
    let victoria = method(&advice, "texture-victoria");
    assert_eq!(victoria["standing"], "not comparable");
    assert!(victoria.get("result").is_none());
    assert_eq!(
        reasons(&advice, "texture-victoria"),
        [
            "the job's target, pH 6.5, is in water as `smp-iowa` takes it, and `texture-victoria` takes \
          its target in CaCl2 0.01 M: no target is carried from one medium to another"
        ]
    );
    assert_eq!(advice["target_medium"], "water");
    assert!(text_on(&path, &[]).contains("Can run, but is not compared"), "said");
    // Asked by itself it is the one that the target belongs to.
    let sets = ["--set", "need.method=texture-victoria", "--set", "target.ph=6.0"];
    let (advice, _) = advice_on(&path, &[&sets[..], &["--side-by-side"]].concat());
    assert_eq!(run_methods(&advice), ["texture-victoria"]);
    assert_eq!(method(&advice, "ph-western-greece")["standing"], "not comparable");
}

#[test]
fn a_job_without_a_method_is_told_which_can_run_and_compared_once_it_names_one() {
    for line in ["method = \"?\"\n", ""] {
        let job = job_with(&[("method = \"smp-iowa\"\n", line)], &ground().table());
        let (advice, _) = advice_on(&job.path("job.toml"), &[]);
        assert!(advice.get("job_method").is_none() && advice.get("target_medium").is_none());
        assert_eq!(method(&advice, "smp-iowa")["standing"], "can run");
        let of_job = advice["methods"].as_array().unwrap().iter();
        assert!(of_job.into_iter().all(|method| method["is_of_job"] == false));
        let text = text_on(&job.path("job.toml"), &[]);
        assert!(text.contains("the job names no method"), "{text}");
        let refused = job.run(&["methods", "--job", "job.toml", "--side-by-side"]);
        let said = flat(&refused.stderr);
        assert_eq!(refused.status.code(), Some(1), "{said}");
        assert!(said.contains("nothing says in which medium its target is a pH"), "{said}");
        assert!(said.contains("--set need.method=ID"), "{said}");
        let named = ["--side-by-side", "--set", "need.method=smp-iowa"];
        let (advice, _) = advice_on(&job.path("job.toml"), &named);
        assert_eq!(method(&advice, "smp-iowa")["is_of_job"], true);
        // Whoever prescribes still has to choose.
        assert!(job.refused(&[]).contains("need.method"));
    }
    let other = job_with(&[("ph = 6.5", "ph = \"?\"")], &ground().table());
    let refused = other.run(&["methods", "--job", "job.toml"]);
    assert!(flat(&refused.stderr).contains("`target.ph` is still a blank"));
    let unknown = job_with(&[("smp-iowa", "smp-iwoa")], &ground().table());
    let refused = unknown.run(&["methods", "--job", "job.toml"]);
    assert!(flat(&refused.stderr).contains("did you mean `smp-iowa`?"));
}

#[test]
fn a_table_of_the_users_own_comes_first_and_is_compared() {
    let own = r#"
id = "my-smp"
title = "SMP buffer pH, an invented sheet"
shape = "reading-table"
source = "An invented sheet, 2001"
locator = "Table 2"
region = "our county"
soils = "not stated"
reads = "buffer_ph"
buffer = "smp"
ph_medium = "water"
depth = "6 in"
basis = "100 % CCE"
between = "linear"
need_unit = "lb/ac"
targets = [6.5]
rows = [{ reading = 6.0, needs = [8000] }, { reading = 7.0, needs = [0] }]
examples = [{ given = { buffer_ph = 6.5 }, target = 6.5, expect = 4000, tolerance = 0.5, locator = "Table 2" }]
"#;
    let job = job_with(&[("smp-iowa", "file:mine.toml")], &ground().table());
    fs::write(job.path("mine.toml"), own).unwrap();
    let (advice, _) = advice_on(&job.path("job.toml"), &["--side-by-side"]);
    let first = &advice["methods"][0];
    assert_eq!((&first["id"], &first["is_of_job"]), (&"file:mine.toml".into(), &true.into()));
    assert!(first["notes"].to_string().contains("The needs are those of"), "{first}");
    assert!(run_methods(&advice).contains(&"smp-iowa".to_owned()));
    let summary = job.prescribed(&[]).summary;
    assert_eq!(first["result"]["need_total"], summary["need_total"]);
}

#[test]
fn a_method_that_fails_on_the_way_is_told_and_stops_no_other() {
    // The blank of the zone in the east is no answer where the samples read below the cut-off;
    // only the map shows where that is.
    let blank = by_zone::RESULTS.replace("6.8", "");
    let job = by_zone::job_of(&by_zone::HALVES, &by_zone::table([""; 5]), &blank);
    let mut more = vec!["--side-by-side"];
    more.extend(by_zone::SETS.iter().flat_map(|set| ["--set", set]));
    let (advice, _) = advice_on(&job.path("job.toml"), &more);
    assert_eq!(method(&advice, "smp-iowa")["standing"], "failed");
    let said = reasons(&advice, "smp-iowa").join(". ");
    assert!(said.contains("the zone's buffer pH is blank"), "{said}");
    assert!(run_methods(&advice).contains(&"ph-uk-grass".to_owned()), "{advice:#}");
    let text = text_on(&job.path("job.toml"), &more);
    assert!(text.contains("Failed while it ran smp-iowa (in the job)"), "{text}");
    assert!(text.contains("the one in the job is not among them"), "{text}");
}

#[test]
fn layers_and_zones_are_compared_as_a_run_of_its_own_has_them() {
    let job = by_zone::job_of(&by_zone::HALVES, &by_zone::table([""; 5]), by_zone::RESULTS);
    assert!(hold_each(&job.path("job.toml"), &by_zone::SETS) > 2);
    let [lon, lat] = ["lon", "lat"].map(|key| {
        let at = ground().degrees(0.0, 0.0);
        if key == "lon" { at.lon_deg } else { at.lat_deg }
    });
    let rows = format!(
        "sample_id,lon,lat,depth,pH,BpH\nA,{lon},{lat},0-3 in,5.2,6.2\nA,{lon},{lat},3-6 in,5.9,6.6\n"
    );
    let layers =
        job_with(&[("sampled_depth = \"0-6 in\"", "layers = [\"0-3 in\", \"3-6 in\"]")], &rows);
    assert!(hold_each(&layers.path("job.toml"), &[]) > 2);
}

#[test]
fn the_same_bytes_come_of_any_number_of_threads_and_nothing_is_written() {
    let job = Job::on(&ground());
    let listed = |job: &Job| {
        let mut names: Vec<_> = fs::read_dir(job.path(""))
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    };
    let before = listed(&job);
    let with_threads = |threads: &str, more: &[&str]| {
        let output = limewright()
            .env("RAYON_NUM_THREADS", threads)
            .args(["methods", "--side-by-side", "--allow-unverified", "--job"])
            .arg(job.path("job.toml"))
            .args(more)
            .output()
            .unwrap();
        assert!(output.status.success(), "{}", flat(&output.stderr));
        output.stdout
    };
    for more in [&[][..], &["--json"]] {
        let one = with_threads("1", more);
        assert!(!one.is_empty());
        for threads in ["2", "5"] {
            assert_eq!(one, with_threads(threads, more), "{threads} threads");
        }
    }
    assert_eq!(listed(&job), before);
}

#[test]
fn what_needs_a_job_is_wrong_usage_without_one() {
    for arguments in [
        &["methods", "--side-by-side"][..],
        &["methods", "--allow-unverified"],
        &["methods", "smp-iowa", "--job", "job.toml"],
        &["methods", "--crops", "--job", "job.toml"],
    ] {
        let output = limewright().args(arguments).output().unwrap();
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
    }
    let job = Job::on(&ground());
    let strict = job.run(&["methods", "--job", "job.toml", "--strict"]);
    assert!(matches!(strict.status.code(), Some(0 | 3)));
}
