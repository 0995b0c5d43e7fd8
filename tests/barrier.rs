//! Sugar or malic acid left in a bottle: the record is met by a barrier at the filler and by what
//! proves it, and says what is
//! still missing. Which treatments are barriers, and against what, stands in the data.
#![allow(clippy::unwrap_used, missing_docs)]

use stillbright::dossier::Dossier;
use stillbright::knowledge::{LAST, TREATMENTS};
use stillbright::units::day::Day;
use stillbright::wine::*;
use stillbright::work_order::ready::{Fitness, Proof, Ready, Shown, ready};

fn typed(text: &str) -> AsTyped {
    AsTyped(text.into())
}

fn act(key: &str, day: &str) -> Done {
    Done {
        treatment: key.into(),
        day: day.into(),
        ..Done::default()
    }
}

const BOTTLING: &str = "2026-11-25";

/// An off-dry white after its malolactic fermentation, 12 g/L of sugar, with every other test
/// inside its limit and of its day.
fn off_dry() -> Wine {
    let mut wine = Wine {
        colour: Some(Colour::White),
        style: Some(Style::StillSweet),
        stage: Some(Stage::Ready),
        volume: typed("5000 L"),
        bottling_day: BOTTLING.into(),
        ..Wine::default()
    };
    for (q, value, day) in [
        (Quantity::Turbidity, "0.5", BOTTLING),
        (Quantity::HeatRise, "0.8", "2026-11-01"),
        (Quantity::ConductivityDrop, "3", "2026-11-01"),
        (Quantity::Calcium, "60", "2026-11-01"),
        (Quantity::Sugar, "12", "2026-11-20"),
        (Quantity::Malic, "0.05", "2026-11-20"),
        (Quantity::Oxygen, "0.3", BOTTLING),
        (Quantity::Copper, "0.1", "2026-11-01"),
        (Quantity::Iron, "2", "2026-11-01"),
        (Quantity::FreeSo2, "35", BOTTLING),
        (Quantity::CloggingIndex, "12", "2026-11-23"),
        (Quantity::CarbonDioxide, "900", BOTTLING),
        (Quantity::Ph, "3.2", "2026-11-20"),
    ] {
        measure(&mut wine, q, value, day);
    }
    for c in LAST.iter().filter(|c| c.quantity.is_none()) {
        *wine.check(c.key) = Checked {
            key: c.key.into(),
            day: BOTTLING.into(),
            passed: Some(true),
            ..Checked::default()
        };
    }
    wine
}

fn measure(wine: &mut Wine, q: Quantity, value: &str, day: &str) {
    wine.analyses.insert(q, typed(value));
    wine.measured_on.insert(q, typed(day));
}

fn on(day: &str, wine: &Wine) -> Ready {
    ready(&Dossier::of(wine), Day::read(day))
}

fn row(r: &Ready, key: &str) -> Proof {
    r.evidence.iter().find(|e| e.key == key).unwrap().clone()
}

/// The same wine through a 0.45 µm membrane on the bottling day, no yeast grown from what was taken
/// behind it.
fn filtered() -> Wine {
    let mut wine = off_dry();
    wine.done.push(act("membrane_045", BOTTLING));
    measure(&mut wine, Quantity::YeastPlate, "0", BOTTLING);
    wine
}

/// Butzke: above 2 g/L of sugar yeast has food. Van de Water: sterile filtration with an integrity
/// test, and 250 mL plated.
#[test]
fn an_off_dry_wine_becomes_fit_by_its_barrier() {
    let r = on(BOTTLING, &off_dry());
    let open = row(&r, "refermentation");
    assert!(!r.so_far() && open.shown == Shown::Against, "{open:?}");
    assert!(
        open.why
            .contains("None of these is in the plan or the log: ")
            && open.why.contains("membrane 0.45 µm at bottling"),
        "{}",
        open.why
    );
    let r = on(BOTTLING, &filtered());
    let met = row(&r, "refermentation");
    assert!(
        met.shown == Shown::Inside
            && met
                .why
                .contains("Met by the barrier membrane 0.45 µm at bottling (2026-11-25), with "),
        "{met:?}"
    );
    assert!(
        r.so_far(),
        "{:#?}",
        r.evidence
            .iter()
            .filter(|e| e.shown != Shown::Inside)
            .collect::<Vec<_>>()
    );
    // Plates are read days later: the record still speaks of the bottling day.
    assert!(on("2026-11-29", &filtered()).so_far());
    // A dry wine is asked for no plate.
    let mut dry = off_dry();
    measure(&mut dry, Quantity::Sugar, "0.3", "2026-11-20");
    let r = on(BOTTLING, &dry);
    assert!(
        r.so_far() && r.evidence.iter().all(|e| e.key != "yeast_plate"),
        "{}",
        r.verdict
    );
}

/// Each part that proves it is missed by name, and by no other.
#[test]
fn what_a_barrier_still_lacks_is_named() {
    let says = |change: &dyn Fn(&mut Wine)| {
        let mut wine = filtered();
        change(&mut wine);
        let r = on(BOTTLING, &wine);
        assert!(!r.so_far(), "{}", r.verdict);
        let row = row(&r, "refermentation");
        (
            row.shown,
            row.why
                .split("Still missing: ")
                .nth(1)
                .unwrap_or(&row.why)
                .to_string(),
        )
    };
    let missing = |change: &dyn Fn(&mut Wine), what: &str| {
        assert_eq!(says(change), (Shown::Missing, format!("{what}.")))
    };
    missing(
        &|w| w.checks.retain(|c| c.key != "filter_integrity"),
        "integrity of the last filter",
    );
    missing(&|w| w.checks.retain(|c| c.key != "line"), "clean line");
    missing(&|w| w.check("line").day = "2026-11-24".into(), "clean line");
    missing(
        &|w| w.done[0].day = "2026-11-20".into(),
        "its place at the filler, on the bottling day",
    );
    missing(
        &|w| w.done[0].day = String::new(),
        "its place at the filler, on the bottling day",
    );
    let later = says(&|w| w.done.push(act("blending", BOTTLING)));
    assert!(
        later.0 == Shown::Missing && later.1.contains("its place as the last act (Blending"),
        "{later:?}"
    );
    // A failed integrity test speaks against it.
    let failed = says(&|w| w.check("filter_integrity").passed = Some(false));
    assert!(
        failed.0 == Shown::Against && failed.1.contains("and it failed: "),
        "{failed:?}"
    );
    // The count behind it keeps the lot back, not the wine from the line: it is read days later.
    let counted = |change: &dyn Fn(&mut Wine)| {
        let mut wine = filtered();
        change(&mut wine);
        let r = on("2026-11-29", &wine);
        assert!(r.line && !r.released, "{}", r.verdict);
        (row(&r, "yeast_plate").shown, r.says)
    };
    let kept = vec![Fitness::ReadyForLine, Fitness::KeptBack];
    for change in [
        (&|w: &mut Wine| drop(w.analyses.remove(&Quantity::YeastPlate))) as &dyn Fn(&mut Wine),
        // What was plated the day before is not what went through the filter.
        &|w: &mut Wine| measure(w, Quantity::YeastPlate, "0", "2026-11-24"),
    ] {
        assert_eq!(counted(change), (Shown::Missing, kept.clone()));
    }
    let grown = counted(&|w| measure(w, Quantity::YeastPlate, "2", BOTTLING));
    assert_eq!(
        grown,
        (
            Shown::Against,
            vec![Fitness::ReadyForLine, Fitness::NotReleased]
        )
    );
    // Planned, before the day: due with the rest of the day.
    let mut planned = off_dry();
    planned.plan.push(PlanStep {
        treatment: "membrane_045".into(),
        ..PlanStep::default()
    });
    planned.checks.clear();
    let due = row(&on("2026-11-23", &planned), "refermentation");
    assert!(
        due.shown == Shown::Due && due.why.contains("clean line"),
        "{due:?}"
    );
    assert_eq!(
        row(&on(BOTTLING, &planned), "refermentation").shown,
        Shown::Missing
    );
}

/// Held against the data: 0.65 µm holds yeast and not bacteria, and what is rated by name holds
/// none for sure.
#[test]
fn only_what_keeps_the_germs_back_counts() {
    for t in TREATMENTS
        .iter()
        .filter(|t| t.family == Family::Filter || !t.germ_barrier.is_empty())
    {
        let mut wine = filtered();
        wine.done[0].treatment = t.key.into();
        // Heat at the filler may change what was read before it.
        for q in [
            Quantity::HeatRise,
            Quantity::ConductivityDrop,
            Quantity::Turbidity,
            Quantity::FreeSo2,
            Quantity::Oxygen,
            Quantity::CloggingIndex,
        ] {
            wine.measured_on.insert(q, typed("2026-11-26"));
        }
        measure(&mut wine, Quantity::YeastCells, "80", "2026-11-24");
        let row = row(&on("2026-11-28", &wine), "refermentation");
        let counts = ["membrane_045", "pasteurisation_bottle", "dmdc"].contains(&t.key);
        assert_eq!(row.shown == Shown::Inside, counts, "{}: {row:?}", t.key);
        if t.key == "membrane_065" {
            assert!(row.why.contains("Membrane 0.65 µm does not count. An absolute membrane of 0.65 µm holds all yeast"), "{}", row.why);
        }
        if ["sheets_sterile", "crossflow_filtration"].contains(&t.key) {
            assert!(
                row.why
                    .contains("does not count: it lowers the number of germs"),
                "{}",
                row.why
            );
        }
    }
}

/// UC Davis, after the condition of the FDA: fewer than 500 yeast cells per mL when it goes in.
#[test]
fn the_agent_in_line_asks_for_few_yeasts_before_it() {
    let shown = |cells: &str, day: &str| {
        let mut wine = filtered();
        wine.done[0].treatment = "dmdc".into();
        measure(&mut wine, Quantity::YeastCells, cells, day);
        row(&on(BOTTLING, &wine), "refermentation")
    };
    assert_eq!(shown("80", "2026-11-24").shown, Shown::Inside);
    assert!(
        shown("", "2026-11-24")
            .why
            .ends_with("Still missing: living yeast cells before it (500 cells/mL at most)."),
        "{}",
        shown("", "").why
    );
    assert_eq!(shown("80", "2026-11-20").shown, Shown::Missing);
    assert_eq!(shown("2000", "2026-11-24").shown, Shown::Against);
}

/// Malic acid that is left feeds bacteria: the same rule, by their count.
#[test]
fn malic_acid_left_is_met_in_the_same_way() {
    let with = |key: &str| {
        let mut wine = filtered();
        wine.done[0].treatment = key.into();
        measure(&mut wine, Quantity::Sugar, "0.3", "2026-11-20");
        measure(&mut wine, Quantity::Malic, "2.8", "2026-11-20");
        measure(&mut wine, Quantity::BacteriaPlate, "0", BOTTLING);
        let r = on(BOTTLING, &wine);
        (row(&r, "malolactic").shown, r.so_far())
    };
    assert_eq!(with("membrane_045"), (Shown::Inside, true));
    assert_eq!(with("membrane_065").0, Shown::Against);
    assert_eq!(with("dmdc").0, Shown::Against);
    // Both left: each is counted.
    let mut both = filtered();
    measure(&mut both, Quantity::Malic, "2.8", "2026-11-20");
    let r = on(BOTTLING, &both);
    assert!(
        row(&r, "refermentation").shown == Shown::Inside
            && row(&r, "bacteria_plate").shown == Shown::Missing
            && !r.released
    );
}

/// A test of the tank is of the wine that goes to the filler: what is done there on that day takes
/// none of them back; the same act
/// earlier does.
#[test]
fn what_is_done_at_the_filler_voids_no_test_of_the_tank() {
    let r = on(BOTTLING, &filtered());
    assert!(
        ["clarity", "oxygen", "free_so2", "filterability"]
            .iter()
            .all(|k| row(&r, k).shown == Shown::Inside)
    );
    let mut earlier = filtered();
    earlier.done[0].day = "2026-11-24".into();
    measure(&mut earlier, Quantity::Turbidity, "0.5", "2026-11-24");
    assert_eq!(
        row(&on(BOTTLING, &earlier), "clarity").shown,
        Shown::Missing
    );
}
