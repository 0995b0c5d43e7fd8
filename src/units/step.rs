//! A typed number one step up or down, for a hand too wet to type.

use super::read::typed;
use super::show::fixed;

/// One step up or down from what is typed: tenths below ten, ones above, or ones throughout where
/// only whole numbers are meant. Finer
/// digits, the comma and a unit stay as typed, empty counts as zero, and nothing goes below zero.
/// None for what is not one number,
/// which is left for the typist to mend.
pub fn step(text: &str, up: bool, whole: bool) -> Option<String> {
    let read = if text.trim().is_empty() {
        typed("0")
    } else {
        typed(text)
    }
    .ok()
    .filter(|t| t.other.is_none())?;
    // Down from ten goes by tenths too, so that up and down are each other's way back.
    let fine = !whole && (read.value < 10.0 || read.value <= 10.0 && !up);
    let by = if fine { 0.1 } else { 1.0 };
    let next = if up {
        read.value + by
    } else {
        (read.value - by).max(0.0)
    };
    let places = text
        .split([',', '.'])
        .nth(1)
        .map_or(0, |t| t.chars().take_while(char::is_ascii_digit).count());
    let shown = fixed(
        next,
        u32::try_from(places).unwrap_or(6).max(u32::from(fine)),
    );
    let shown = if text.contains(',') {
        shown.replace('.', ",")
    } else {
        shown
    };
    Some(if read.unit.is_empty() {
        shown
    } else {
        format!("{shown} {}", read.unit)
    })
}
