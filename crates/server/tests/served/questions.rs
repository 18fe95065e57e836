//! Questions over HTTP, long ones too.

use std::time::Duration;

use serde_json::{Value, json};

use crate::client::{Served, VEHICLE};

fn ask(served: &Served, question: &str, asked: &Value) -> Value {
    let answer = served.ask("POST", &format!("/api/{question}"), &asked.to_string());
    assert_eq!(answer.status, 200, "{question}: {answer:?}");
    answer.json()
}

/// Begins long work and gives its number.
fn begun(served: &Served, question: &str, asked: &Value) -> u64 {
    let body = json!({ "question": question, "asked": asked });
    let begun = served.ask("POST", "/api/jobs", &body.to_string());
    assert_eq!(begun.status, 202, "{begun:?}");
    begun.json()["job"]["id"].as_u64().unwrap()
}

/// The answer to a question that is asked as long work.
fn done(served: &Served, question: &str, asked: &Value) -> Value {
    let job = begun(served, question, asked);
    let mut now = Value::Null;
    // Ten minutes: only work that never ends fails.
    for _ in 0..12_000 {
        now = served.get(&format!("/api/jobs/{job}")).json()["job"].clone();
        if now["status"] == "done" {
            break;
        }
        std::thread::sleep(Duration::from_millis(50));
    }
    assert_eq!(now["status"], "done", "{now}");
    now["answer"].clone()
}

/// The first state of the vehicle and the loads that are on in it.
fn state_and_load(served: &Served, id: i64) -> (String, String) {
    let picture = ask(served, "picture", &json!({ "vehicle": id }));
    let loads = picture["drawing"]["loads"].as_array().unwrap().clone();
    let load = loads.iter().find(|own| own["on"].as_array().is_some_and(|on| !on.is_empty()));
    let load = load.unwrap();
    (load["on"][0].as_str().unwrap().to_owned(), load["id"].as_str().unwrap().to_owned())
}

#[test]
fn every_question_is_answered_about_a_stored_vehicle_and_about_a_text() {
    let served = Served::new();
    let id = served.vehicle();
    let (state, load) = state_and_load(&served, id);
    let conductor = ask(&served, "picture", &json!({ "vehicle": id }));
    let conductor = conductor["drawing"]["conductors"][0]["id"].clone();
    let set = format!("{}=5mΩ", conductor.as_str().unwrap());
    for mut about in [json!({ "vehicle": id }), json!({ "text": VEHICLE })] {
        for question in ["check", "picture", "tidy", "diagnose", "next", "repairs"] {
            assert_eq!(ask(&served, question, &about)["format"], 1, "{question}");
        }
        about["state"] = json!(state);
        for question in ["solve", "routes", "offsets"] {
            assert_eq!(ask(&served, question, &about)["format"], 1, "{question}");
        }
        let mut more = about.clone();
        more["load"] = json!(load);
        assert_eq!(ask(&served, "budget", &more)["load"], json!(load));
        let mut more = about.clone();
        more["set"] = json!([set]);
        assert_eq!(ask(&served, "what-if", &more)["format"], 1);
    }
    let plan = ask(&served, "next", &json!({ "vehicle": id, "plan": 20 }));
    assert!(!plan["plan"].as_array().unwrap().is_empty());
    assert!(served.get("/api/schema").json()["$schema"].is_string());
}

#[test]
fn the_column_gives_what_the_update_says_and_the_full_solve_agrees() {
    let served = Served::new();
    let id = served.vehicle();
    let (state, _) = state_and_load(&served, id);
    let picture = ask(&served, "picture", &json!({ "vehicle": id }));
    let mut compared = 0;
    for joint in picture["drawing"]["joints"].as_array().unwrap().iter().take(12) {
        let name = joint["id"].as_str().unwrap();
        let about = json!({ "vehicle": id, "state": state, "piece": name });
        let column = ask(&served, "column", &about);
        let number = |key: &str| column[key].as_f64().unwrap();
        // The formula of the contract, as the page applies it.
        let r = number("piece_ohms") * 3.0 + 1e-4;
        let branch = number("branch_ohms");
        let change = 1.0 / (branch - number("piece_ohms") + r) - 1.0 / branch;
        let k = change * number("across_volts") / (1.0 + change * number("own_ohms"));
        let set = format!("{name}={} Ω", r);
        let full = json!({ "vehicle": id, "state": state, "set": [set] });
        let full = ask(&served, "what-if", &full);
        let points = column["points"].as_array().unwrap();
        for (at, point) in points.iter().enumerate() {
            let volts =
                column["volts"][at].as_f64().unwrap() - k * column["column"][at].as_f64().unwrap();
            let exact = &full["states"][0]["after"]["points"][point.as_str().unwrap()]["volts"];
            if let Some(exact) = exact.as_f64() {
                // Loads bend a little and conductors warm; a twentieth of the change and 1 mV.
                let before = column["volts"][at].as_f64().unwrap();
                let bound = 0.05 * (exact - before).abs() + 1e-3;
                assert!((volts - exact).abs() < bound, "{name} {point}: {volts} {exact}");
                compared += 1;
            }
        }
    }
    assert!(compared > 100, "{compared}");
}

#[test]
fn a_question_that_cannot_be_answered_says_what_would_be_right() {
    let served = Served::new();
    let id = served.vehicle();
    let cases = [
        ("solve", json!({ "vehicle": id, "state": "nowhere" }), 422, "question"),
        ("budget", json!({ "vehicle": id, "load": "nothing" }), 422, "question"),
        ("budget", json!({ "vehicle": id }), 400, "malformed"),
        ("column", json!({ "vehicle": id, "state": "x" }), 400, "malformed"),
        ("heat", json!({ "vehicle": id }), 400, "malformed"),
        ("bolt", json!({ "vehicle": id }), 422, "question"),
        ("bolt", json!({ "vehicle": id, "joint": "nothing.to" }), 422, "question"),
        ("solve", json!({ "text": "format = 1\nx = 2\n" }), 422, "problems"),
        ("solve", json!({ "vehicle": 99 }), 404, "not-found"),
        ("solve", json!({ "vehicle": id, "revision": 9 }), 404, "not-found"),
        ("solve", json!({ "vehicle": id, "wrong": 9 }), 400, "malformed"),
    ];
    for (question, asked, status, code) in cases {
        let answer = served.ask("POST", &format!("/api/{question}"), &asked.to_string());
        assert_eq!((answer.status, answer.code().as_str()), (status, code), "{asked}: {answer:?}");
    }
    let wrong = json!({ "text": "format = 1\nx = 2\n" });
    assert!(ask(&served, "check", &wrong)["errors"].as_u64().unwrap() > 0);
    assert!(ask(&served, "picture", &wrong)["drawing"].is_null());
}

#[test]
fn a_kept_answer_names_the_program_that_gave_it() {
    let served = Served::new();
    let id = served.vehicle();
    let path = format!("/api/vehicles/{id}/results");
    let kept = served.ask("POST", &path, r#"{"question":"solve"}"#);
    assert_eq!(kept.status, 201, "{kept:?}");
    let kept = served.get(&path).json();
    assert_eq!(kept["results"][0]["program"], "groundloom test");
    assert_eq!(kept["results"][0]["answer"]["format"], 1);
    assert_eq!(kept["results"][0]["revision"], 1);
}

#[test]
fn long_work_answers_as_the_short_way_does_and_can_be_stopped() {
    let served = Served::new();
    let id = served.vehicle();
    let about = json!({ "vehicle": id });
    assert_eq!(done(&served, "diagnose", &about), ask(&served, "diagnose", &about));
    let state = |job: u64| served.get(&format!("/api/jobs/{job}")).json()["job"].clone();
    let jobs: Vec<u64> = (0..6).map(|_| begun(&served, "repairs", &about)).collect();
    let last = jobs[5];
    let stopped = served.ask("DELETE", &format!("/api/jobs/{last}"), "").json();
    let status = stopped["job"]["status"].as_str().unwrap().to_owned();
    assert!(status == "cancelled" || status == "done", "{status}");
    std::thread::sleep(Duration::from_millis(200));
    assert_eq!(state(last)["status"], json!(status));
}

#[test]
fn heat_tells_of_every_conductor_of_known_size_and_can_be_work_and_a_kept_answer() {
    let served = Served::new();
    let id = served.vehicle();
    let (state, _) = state_and_load(&served, id);
    let heat = ask(&served, "heat", &json!({ "vehicle": id, "state": state, "seconds": 15 }));
    assert_eq!((heat["state"].as_str(), heat["seconds"].as_f64()), (Some(&*state), Some(15.0)));
    let length = |key: &str| heat[key].as_array().unwrap().len();
    let picture = ask(&served, "picture", &json!({ "vehicle": id }));
    let conductors = picture["drawing"]["conductors"].as_array().unwrap();
    let known = conductors.iter().filter(|own| !own["square_metres"].is_null()).count();
    assert_eq!(length("conductors_by_warmth") + length("resting"), known);
    for own in heat["conductors_by_warmth"].as_array().unwrap() {
        let number = |key: &str| own[key].as_f64().unwrap();
        let never = own["limit_after_seconds"].is_null();
        assert_eq!(number("amps") <= number("bears_amps"), never, "{own}");
        assert!(number("at_end_kelvin") >= number("air_kelvin"), "{own}");
    }
    let duty = json!({ "share": 0.3, "period_seconds": 120 });
    let rounds = ask(&served, "heat", &json!({ "vehicle": id, "state": state, "duty": duty }));
    assert_eq!(rounds["duty"]["share"], 0.3);
    let path = format!("/api/vehicles/{id}/results");
    let kept = served.ask("POST", &path, r#"{"question":"heat"}"#);
    assert_eq!((kept.status, kept.code().as_str()), (400, "malformed"));
    let kept = json!({ "question": "heat", "asked": { "state": state, "seconds": 15 } });
    assert_eq!(served.ask("POST", &path, &kept.to_string()).status, 201);
    assert_eq!(served.get(&path).json()["results"][0]["answer"], heat);
    let asked = json!({ "vehicle": id, "state": state, "seconds": 15 });
    assert_eq!(done(&served, "heat", &asked), heat);
    let wrong = [
        json!({ "vehicle": id, "state": state, "seconds": 0 }),
        json!({ "vehicle": id, "state": state, "duty": { "share": 1.5, "period_seconds": 9 } }),
        json!({ "vehicle": id, "state": state, "duty": { "share": 0.5, "period_seconds": -9 } }),
        json!({ "vehicle": id, "state": "nowhere" }),
    ];
    for asked in wrong {
        let answer = served.ask("POST", "/api/heat", &asked.to_string());
        assert_eq!(answer.status, 422, "{asked}: {answer:?}");
    }
}

#[test]
fn every_joint_has_a_sheet_with_as_much_as_the_file_says() {
    let served = Served::new();
    let id = served.vehicle();
    let picture = ask(&served, "picture", &json!({ "vehicle": id }));
    for joint in picture["drawing"]["joints"].as_array().unwrap() {
        let sheet = ask(&served, "bolt", &json!({ "vehicle": id, "joint": joint["id"] }));
        assert_eq!((&sheet["format"], &sheet["joint"]), (&json!(1), &joint["id"]));
        let stated = !joint["torque_newton_metres"].is_null();
        if stated && !sheet["bolt"].is_null() {
            assert_eq!(sheet["bolt"]["torque_newton_metres"], joint["torque_newton_metres"]);
            assert_eq!(sheet["torque_from"], "file");
        }
        assert!(!sheet["sheet"]["advice"].as_array().unwrap().is_empty(), "{sheet}");
    }
}

#[test]
fn a_key_that_a_question_does_not_know_is_refused_and_never_passed_over() {
    let served = Served::new();
    for (question, key, value) in [
        ("solve", "joint", json!("main-negative.to")),
        ("solve", "most", json!(3)),
        ("what-if", "loads", json!(["starter"])),
        ("check", "state", json!("cranking")),
        ("heat", "readings", json!("cranking: block/front to main/- 0.4 V")),
        ("bolt", "state", json!("cranking")),
        ("repairs", "alone", json!(true)),
    ] {
        let mut asked = json!({ "text": VEHICLE });
        asked[key] = value;
        let direct = served.ask("POST", &format!("/api/{question}"), &asked.to_string());
        let work = json!({ "question": question, "asked": asked }).to_string();
        let work = served.ask("POST", "/api/jobs", &work);
        for refused in [direct, work] {
            assert_eq!((refused.status, refused.code().as_str()), (400, "malformed"), "{question}");
            let told = refused.json()["error"]["what"].as_str().unwrap().to_owned();
            assert!(told.contains(&format!("`{key}`")), "{told}");
        }
    }
}
