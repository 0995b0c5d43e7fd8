//! What the tables of the knowledge come to: of each table its entries, its standings, and the sum
//! of each of its figures.

use serde_json::Value;
use std::collections::BTreeMap;
use std::fmt::Write;
use stillbright::knowledge::TREATMENTS;
use stillbright::wine::Access;

const HEAD: &str =
    "# What the tables of src/knowledge/data come to. `make accept` writes this file anew.\n";

/// One table, gone through.
#[derive(Default)]
struct Sums {
    /// How many statements and figures have each standing, and how many rules each evidence.
    known: BTreeMap<String, usize>,
    /// By place and field: how many figures, and their sum.
    figures: BTreeMap<String, BTreeMap<String, Sum>>,
    /// Of every figure with its place, in order, so that two slips never cancel.
    checksum: Checksum,
}

#[derive(Default)]
struct Sum {
    figures: usize,
    total: f64,
}

/// FNV-1a.
struct Checksum(u64);
impl Default for Checksum {
    fn default() -> Self {
        Checksum(0xCBF2_9CE4_8422_2325)
    }
}
impl Checksum {
    fn add(&mut self, text: &str) {
        for byte in text.bytes() {
            self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(0x0100_0000_01B3);
        }
    }
}

impl Sums {
    fn take(&mut self, place: &str, field: &str, value: &Value) {
        match value {
            Value::Object(fields) => {
                let inner = if place.is_empty() || field.is_empty() {
                    format!("{place}{field}")
                } else {
                    format!("{place}.{field}")
                };
                for (name, value) in fields {
                    self.take(&inner, name, value);
                }
            }
            Value::Array(list) => list.iter().for_each(|v| self.take(place, field, v)),
            Value::String(word) if ["standing", "evidence"].contains(&field) => {
                *self.known.entry(format!("{field} {word}")).or_default() += 1;
            }
            Value::Number(figure) => {
                self.checksum.add(&format!("{place} {field} {figure};"));
                let fields = self.figures.entry(place.to_string()).or_default();
                let sum = fields.entry(field.to_string()).or_default();
                sum.figures += 1;
                sum.total += figure.as_f64().unwrap_or(f64::NAN);
            }
            _ => {}
        }
    }
}

/// All tables of the knowledge, a heading each, then a line for each thing that is counted.
pub fn of(book: &Value) -> String {
    let mut text = HEAD.to_string();
    for (table, rows) in book.as_object().into_iter().flatten() {
        let mut sums = Sums::default();
        sums.take("", "", rows);
        let entries = rows.as_array().map_or(0, Vec::len);
        let _ = writeln!(text, "\n== {table}\nentries: {entries}");
        for (how, n) in &sums.known {
            let _ = writeln!(text, "{how}: {n}");
        }
        for (place, fields) in &sums.figures {
            let of_field = |(name, sum): (&String, &Sum)| {
                let total = (sum.total * 1e4).round() / 1e4;
                format!("{name} {total} in {}", sum.figures)
            };
            let list: Vec<String> = fields.iter().map(of_field).collect();
            let _ = writeln!(
                text,
                "{}: {}",
                format!("sum {place}").trim(),
                list.join(", ")
            );
        }
        if !sums.figures.is_empty() {
            let _ = writeln!(text, "checksum of the figures: {:016x}", sums.checksum.0);
        }
        if table == "treatment" {
            text.push_str(&not_given());
        }
    }
    text
}

/// What is not given of a treatment that anybody may do.
fn not_given() -> String {
    let open = || {
        TREATMENTS
            .iter()
            .filter(|t| !matches!(t.access, Access::Licensed | Access::Trained))
    };
    let energy: Vec<&str> = open()
        .filter(|t| t.energy_kwh_per_hl.is_none())
        .map(|t| t.key)
        .collect();
    let water: Vec<&str> = open()
        .filter(|t| t.water_l_per_hl.is_none())
        .map(|t| t.key)
        .collect();
    let caution: Vec<&str> = TREATMENTS
        .iter()
        .filter(|t| t.cautions.is_empty())
        .map(|t| t.key)
        .collect();
    format!(
        "without energy: {}\nwithout water: {}\nwithout a caution: {}\n",
        energy.join(", "),
        water.join(", "),
        caution.join(", ")
    )
}

/// Each line that differs, before and after; None where none does.
pub fn differences(before: &str, after: &str) -> Option<String> {
    let (was, is) = (by_name(before), by_name(after));
    let names: std::collections::BTreeSet<_> = was.keys().chain(is.keys()).collect();
    let mut told = String::new();
    for name in names {
        let (old, new) = (was.get(name), is.get(name));
        if old != new {
            let (table, line) = name;
            let show = |v: Option<&&str>| v.map_or("(none)", |v| v).to_string();
            let _ = writeln!(told, "{table}, {line}: {} -> {}", show(old), show(new));
        }
    }
    (!told.is_empty()).then_some(told)
}

fn by_name(text: &str) -> BTreeMap<(&str, &str), &str> {
    let mut table = "";
    let mut all = BTreeMap::new();
    for line in text.lines() {
        if let Some(name) = line.strip_prefix("== ") {
            table = name;
        } else if let Some((name, value)) = line.split_once(": ") {
            all.insert((table, name), value);
        }
    }
    all
}

/// How many statements and figures have each standing, over all tables.
pub fn standings(text: &str) -> BTreeMap<String, usize> {
    let mut all = BTreeMap::new();
    for ((_, line), n) in by_name(text) {
        if let (Some(standing), Ok(n)) = (line.strip_prefix("standing "), n.parse::<usize>()) {
            *all.entry(standing.to_string()).or_default() += n;
        }
    }
    all
}
