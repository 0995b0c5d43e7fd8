//! Writes additive instances with the optimum our search finds, for `tests/reference/routes.py`,
//! which has general solvers
//! find it anew.

use std::process::ExitCode;
use stillbright::route::{aims::Aim, search::search};

mod additive;

fn main() -> ExitCode {
    let mut all = Vec::new();
    let mut seconds = 0.0;
    for seed in 0..additive::COUNT {
        let mut v = additive::written(seed);
        let on = additive::instance(&v);
        let start = std::time::Instant::now();
        let front = search(&on);
        seconds += start.elapsed().as_secs_f64();
        if front.stopped {
            eprintln!("error: the search of instance {seed} was stopped");
            return ExitCode::FAILURE;
        }
        let best = front.by(Aim::Money).map(|f| f.counts.money);
        if let Some(fields) = v.as_object_mut() {
            let _none = fields.insert("money".into(), serde_json::json!(best));
        }
        all.push(v);
    }
    println!(
        "{}",
        serde_json::json!({ "step": stillbright::route::model::MONEY_STEP, "seconds": seconds, "instances": all })
    );
    ExitCode::SUCCESS
}
