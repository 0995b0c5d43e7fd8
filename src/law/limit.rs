//! The greatest dose under a rule.

use super::Finding;
use crate::case::{Act, Case};
use crate::knowledge::*;
use crate::units::show;
use crate::wine::*;

/// The greatest dose that is still open, and what the log took from it, in words.
pub(super) struct Cap {
    /// In the treatment's own unit.
    pub dose: Option<f64>,
    /// The organic scheme it comes from; None where it is the law.
    pub by: Option<Organic>,
    /// Empty where the log gave nothing of it.
    pub note: String,
}

/// The greatest dose under a rule's limits on the dose, on the sum over must and wine, and on what
/// is left of a quantity
/// that the treatment itself adds, in the treatment's unit. A "less than" limit leaves the last
/// rung below it; the cap
/// itself is then not reached, which [`within_cap`] minds. What the log gave of the same material
/// counts against the limits
/// on dose and sum; what is left in the wine is reckoned from the measured value, or from none, and
/// what the log added since.
pub(super) fn dose_cap(rule: &LawRule, case: &Case, treatment: &Treatment, law: Law) -> Cap {
    let mut cap = Cap {
        dose: None,
        by: None,
        note: String::new(),
    };
    let Some(dose) = treatment.dose else {
        return cap;
    };
    let acts: Vec<&Act> = case.acts().collect();
    let adds = |which: Quantity| {
        treatment
            .effects
            .iter()
            .find(|e| e.on == which)
            .and_then(|e| e.adds)
    };
    let mut tighten = |value: f64| cap.dose = Some(cap.dose.map_or(value, |c| c.min(value)));
    for l in rule.limits {
        let value = match l.kind {
            LimitKind::Dose | LimitKind::Sum => in_basis(l.value, l.unit, &dose).map(|most| match given(&acts, treatment, l) {
                Ok(0.0) => most,
                Ok(share) => {
                    let left = (most * (1.0 - share)).max(0.0);
                    let unit = dose.basis.label();
                    cap.note = format!("The log gave {} of the {} {unit} open; {} are left.", show::plain(most * share), show::plain(most), show::plain(left));
                    left
                }
                Err(number) => {
                    cap.note = format!("Entry {number} of the log gives no dose that can be counted against the limit: none is left until it does.");
                    0.0
                }
            }),
            LimitKind::Residue => l.quantity.and_then(|q| room(now(case, &acts, q), l.value, adds(q)?.high)),
            LimitKind::Floor | LimitKind::Process => None,
        };
        if let Some(value) = value {
            tighten(if l.strict {
                value - value * 1e-9
            } else {
                value
            });
        }
    }
    // Total sulfur dioxide stands in its own table, by colour and sugar.
    if let (Some(adds), Some(limit)) = (
        adds(Quantity::TotalSo2),
        super::sulfur::tightest(case, &[law]),
    ) && let Some(value) = room(now(case, &acts, Quantity::TotalSo2), limit.most, adds.high)
        && cap.dose.is_none_or(|c| value < c)
    {
        cap.dose = Some(value);
        cap.by = case
            .schemes()
            .into_iter()
            .find(|s| limit.schemes.contains(s));
    }
    if cap.dose == Some(0.0)
        && cap.note.is_empty()
        && acts
            .iter()
            .any(|a| a.treatment.is_some_and(|t| t.dose.is_some()) && typed(a).is_none())
    {
        cap.note = "The log has an entry without a dose: nothing is left until it is known.".into();
    }
    cap
}

/// The greatest dose where a material is listed and its figure was not read: under the lowest that
/// stands in any law of our tables.
pub(super) fn lowest_known(case: &Case, treatment: &Treatment, law: Law) -> Cap {
    let caps = LAW
        .iter()
        .filter(|r| r.materials.contains(&treatment.material) && r.verdict == Verdict::Permitted)
        .filter_map(|r| Some((r, dose_cap(r, case, treatment, law).dose?)));
    match caps.min_by(|a, b| a.1.total_cmp(&b.1)) {
        Some((rule, dose)) => Cap {
            dose: Some(dose),
            by: None,
            note: format!("Held to the lowest figure known for it: {}.", rule.article),
        },
        None => Cap {
            dose: None,
            by: None,
            note: String::new(),
        },
    }
}

/// The dose of an act, in its treatment's unit; None where it has none that can be read.
fn typed(act: &Act) -> Option<f64> {
    act.dose.given()
}

/// The share of a limit that the log gave of this material; the number of the entry that cannot be
/// counted, where one cannot.
fn given(acts: &[&Act], treatment: &Treatment, limit: &Limit) -> Result<f64, usize> {
    let mut share = 0.0;
    for act in acts {
        let Some(t) = act.treatment.filter(|t| t.material == treatment.material) else {
            continue;
        };
        let most = t
            .dose
            .and_then(|d| in_basis(limit.value, limit.unit, &d))
            .filter(|m| *m > 0.0);
        share += typed(act)
            .zip(most)
            .map(|(d, most)| d / most)
            .ok_or(act.number)?;
    }
    Ok(share)
}

/// What is in the wine now, cautiously: the reading, or none, and the most that the acts after it
/// added.
fn now(case: &Case, acts: &[&Act], which: Quantity) -> f64 {
    let read = case.at_most(which).unwrap_or(0.0);
    let since = case.measured_on(which);
    let added = acts.iter().filter(|a| a.may_follow(since)).filter_map(|a| {
        let t = a.treatment?;
        let adds = t.effects.iter().find(|e| e.on == which)?.adds?;
        // A dose that nobody wrote down leaves no room: see the note.
        let times = if t.dose.is_some() {
            typed(a).unwrap_or(f64::INFINITY)
        } else {
            1.0
        };
        Some(if adds.high > 0.0 {
            adds.high * times
        } else {
            0.0
        })
    });
    read + added.sum::<f64>()
}

fn room(now: f64, most: f64, added_per_unit: f64) -> Option<f64> {
    (added_per_unit > 0.0).then(|| ((most - now) / added_per_unit).max(0.0))
}

fn in_basis(value: f64, unit: &str, dose: &Dose) -> Option<f64> {
    match (unit, dose.basis) {
        ("g/hL", Basis::GramsPerHl) | ("mL/hL", Basis::MillilitresPerHl) => Some(value),
        ("mg/L", Basis::GramsPerHl) => Some(value / 10.0),
        ("g/L", Basis::GramsPerHl) => Some(value * 100.0),
        ("g/L", Basis::MilligramsPerLitre) => Some(value * 1000.0),
        ("g/hL", Basis::MilligramsPerLitre) => Some(value * 10.0),
        (
            "mg/L",
            Basis::MilligramsPerLitre
            | Basis::CopperMgPerL
            | Basis::SorbicMgPerL
            | Basis::SulfurMgPerL,
        ) => Some(value),
        // A limit on the salt, for a dose that counts the metal.
        ("g/hL", Basis::CopperMgPerL) => Some(value * 10.0 * dose.active_share?),
        _ => None,
    }
}

/// Whether a dose stays inside every cap found.
pub fn within_cap(found: &[Finding], dose: f64) -> bool {
    found
        .iter()
        .filter_map(|f| f.dose_cap)
        .all(|cap| dose <= cap)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::law::findings;

    type Checked = Result<(), &'static str>;

    fn treatment(key: &str) -> Result<&'static Treatment, &'static str> {
        TREATMENTS
            .rows()
            .iter()
            .find(|t| t.key == key)
            .ok_or("no such treatment")
    }

    fn white() -> Wine {
        Wine {
            colour: Some(Colour::White),
            style: Some(Style::StillDry),
            stage: Some(Stage::Dry),
            made_in: Some(Market::Eu),
            ..Wine::default()
        }
    }

    /// OIV II.3.3.14: less than 200 mg/L of carboxymethylcellulose. OIV II.3.4.9: at most 80 g/hL
    /// of PVPP.
    #[test]
    fn less_than_leaves_the_limit_itself_out_and_at_most_leaves_it_in() -> Checked {
        let cmc = findings(&Case::of(&white()), treatment("cmc")?);
        assert!(
            within_cap(&cmc, 199.9) && !within_cap(&cmc, 200.0),
            "{cmc:?}"
        );
        let pvpp = findings(&Case::of(&white()), treatment("pvpp")?);
        assert!(
            within_cap(&pvpp, 80.0) && !within_cap(&pvpp, 80.1),
            "{pvpp:?}"
        );
        Ok(())
    }

    /// OIV II.3.5.14: copper at most 1 mg/L in the treated wine. At the most all that is added
    /// stays: 1 mg/L may be given, and
    /// 0.8 mg/L after 0.2 mg/L of the sulfate. What an entry without a dose gave nobody knows, so
    /// it leaves nothing.
    #[test]
    fn an_entry_of_the_log_without_a_dose_leaves_no_room_under_a_residue_limit() -> Checked {
        let citrate = treatment("copper_citrate")?;
        let cap = |done: Vec<Done>| {
            findings(&Case::of(&Wine { done, ..white() }), citrate)
                .iter()
                .find_map(|f| f.dose_cap)
        };
        let sulfate = |dose: &str| Done {
            treatment: "copper_sulfate".into(),
            day: "2026-11-05".into(),
            dose: AsTyped(dose.into()),
            ..Done::default()
        };
        assert_eq!(cap(Vec::new()), Some(1.0));
        assert_eq!(cap(vec![sulfate("0.2")]), Some(0.8));
        assert_eq!(cap(vec![sulfate("")]), Some(0.0));
        Ok(())
    }

    /// 1 hL is 100 L, so 1 g/hL is 10 mg/L, and 1 g/L is 100 g/hL or 1000 mg/L. Of a salt with a
    /// quarter of copper 1 g/hL, which
    /// is 10 mg/L, brings 2.5 mg/L of copper. A mass says nothing of a volume.
    #[test]
    fn a_limit_is_put_into_each_unit_of_dose_by_its_own_factor() -> Checked {
        let dose = treatment("copper_sulfate")?.dose.ok_or("no dose")?;
        let pairs = [
            (30.0, "g/hL", Basis::GramsPerHl, Some(30.0)),
            (30.0, "mL/hL", Basis::MillilitresPerHl, Some(30.0)),
            (30.0, "mg/L", Basis::GramsPerHl, Some(3.0)),
            (3.0, "g/L", Basis::GramsPerHl, Some(300.0)),
            (3.0, "g/L", Basis::MilligramsPerLitre, Some(3000.0)),
            (30.0, "g/hL", Basis::MilligramsPerLitre, Some(300.0)),
            (30.0, "mg/L", Basis::MilligramsPerLitre, Some(30.0)),
            (30.0, "mg/L", Basis::CopperMgPerL, Some(30.0)),
            (30.0, "mg/L", Basis::SorbicMgPerL, Some(30.0)),
            (30.0, "mg/L", Basis::SulfurMgPerL, Some(30.0)),
            (1.0, "g/hL", Basis::CopperMgPerL, Some(2.5)),
            (1.0, "mL/hL", Basis::GramsPerHl, None),
            (1.0, "g/hL", Basis::MillilitresPerHl, None),
        ];
        for (value, unit, basis, expected) in pairs {
            assert_eq!(
                in_basis(
                    value,
                    unit,
                    &Dose {
                        basis,
                        active_share: Some(0.25),
                        ..dose
                    }
                ),
                expected,
                "{unit} as {basis:?}"
            );
        }
        Ok(())
    }
}
