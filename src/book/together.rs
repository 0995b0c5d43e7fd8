//! Two copies of one log, brought together: a page left open in another tab must not take an entry
//! away.

use crate::wine::Done;

/// The log that holds every entry of both: what is kept, then the own entries that came after the
/// last common one. Marks of
/// an error follow their entry to its new number. None where `own` holds all that is kept already.
pub fn together(kept: &[Done], own: &[Done]) -> Option<Vec<Done>> {
    let common = kept.iter().zip(own).take_while(|(a, b)| a == b).count();
    let more = kept.len() - common;
    if more == 0 {
        return None;
    }
    let moved = |entry: &Done| {
        let mut entry = entry.clone();
        entry.corrects = entry.corrects.map(|n| {
            if n as usize > common {
                n + more as u32
            } else {
                n
            }
        });
        entry
    };
    Some(
        kept.iter()
            .cloned()
            .chain(own.iter().skip(common).map(moved))
            .collect(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entry(note: &str, corrects: Option<u32>) -> Done {
        Done {
            note: note.into(),
            corrects,
            ..Done::default()
        }
    }

    #[test]
    fn both_keep_theirs_and_marks_follow() {
        let [a, b, c] = [entry("a", None), entry("b", None), entry("c", None)];
        let own = [a.clone(), c.clone(), entry("", Some(2)), entry("", Some(1))];
        let all = together(&[a.clone(), b.clone()], &own);
        assert_eq!(
            all,
            Some(vec![
                a.clone(),
                b.clone(),
                c.clone(),
                entry("", Some(3)),
                entry("", Some(1))
            ])
        );
        assert_eq!(together(std::slice::from_ref(&a), &own), None);
        assert_eq!(together(&[a.clone(), b.clone()], &[]), Some(vec![a, b]));
    }
}
