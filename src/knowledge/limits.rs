//! A limit stands once, in the bands of a stability or of a last check. Wherever else it is meant,
//! in a sentence or as the limit of a problem, `{limit KEY}` stands for it and is filled in before
//! anything is read: `{limit KEY COLOUR}` where it differs by colour, `:.1` at the end for one
//! decimal at least. A text that is nothing else, `ceiling = "{limit KEY}"`, is the figure itself.

use super::Input;
use serde::Deserialize;
use std::collections::BTreeMap;

/// What is read of a file to find the limits.
#[derive(Deserialize)]
struct Sketch {
    #[serde(default)]
    stability: Vec<Entry>,
    #[serde(default)]
    last: Vec<Entry>,
}

#[derive(Deserialize)]
struct Entry {
    key: String,
    #[serde(default)]
    bands: Vec<Band>,
}

#[derive(Deserialize)]
struct Band {
    #[serde(default)]
    colours: Vec<String>,
    floor: Option<toml::Value>,
    ceiling: Option<toml::Value>,
}

impl Band {
    /// Its one limit as a figure; none where it has two, or refers to another.
    fn limit(&self) -> Option<f64> {
        match (&self.floor, &self.ceiling) {
            (Some(limit), None) | (None, Some(limit)) => limit
                .as_float()
                .or_else(|| limit.as_integer().map(|whole| whole as f64)),
            _ => None,
        }
    }

    fn fits(&self, colour: &str) -> bool {
        self.colours.is_empty() || self.colours.iter().any(|c| c == colour)
    }
}

/// The limits by the key of their stability or last check.
pub struct Limits(BTreeMap<String, Vec<Band>>);

impl Limits {
    /// Those of all files. A file that cannot be read gives none; its fault is said when it is
    /// compiled.
    pub fn of(inputs: &[Input]) -> Limits {
        let sketches = inputs
            .iter()
            .filter_map(|input| toml::from_str::<Sketch>(&input.text).ok());
        let entries = sketches.flat_map(|s| s.stability.into_iter().chain(s.last));
        Limits(entries.map(|e| (e.key, e.bands)).collect())
    }

    /// The text of a file with every limit filled in, or what is wrong, each with its line.
    pub fn fill(&self, input: &Input) -> Result<String, Vec<String>> {
        let (mut filled, mut errors) = (String::new(), Vec::new());
        for (i, line) in input.text.lines().enumerate() {
            match self.fill_line(line) {
                Ok(line) => filled.push_str(&line),
                Err(what) => errors.push(format!("{}: line {}: {what}", input.name, i + 1)),
            }
            filled.push('\n');
        }
        if errors.is_empty() {
            Ok(filled)
        } else {
            Err(errors)
        }
    }

    fn fill_line(&self, line: &str) -> Result<String, String> {
        let mut filled = String::new();
        let mut rest = line;
        while let Some((before, after)) = rest.split_once(START) {
            let Some((inside, after)) = after.split_once('}') else {
                return Err(format!("`{START}` is not closed"));
            };
            let limit = self.asked(inside)?;
            match (before.strip_suffix('"'), after.strip_prefix('"')) {
                (Some(before), Some(after)) => {
                    filled.push_str(&format!("{before}{:?}", limit.value));
                    rest = after;
                }
                _ => {
                    filled.push_str(&format!("{before}{}", limit.text()));
                    rest = after;
                }
            }
        }
        filled.push_str(rest);
        Ok(filled)
    }

    fn asked(&self, inside: &str) -> Result<Limit, String> {
        let whole = format!("`{START}{inside}}}`");
        let (what, decimals) = match inside.split_once(":.") {
            Some((what, decimals)) => {
                let read = decimals.parse::<usize>();
                let read = read.map_err(|_| format!("{whole}: `{decimals}` is no number"))?;
                (what, Some(read))
            }
            None => (inside, None),
        };
        let (key, colour) = what
            .split_once(' ')
            .map_or((what, None), |(key, colour)| (key, Some(colour)));
        let bands = self
            .0
            .get(key)
            .ok_or_else(|| format!("{whole}: no stability and no last check is called `{key}`"))?;
        let found: Vec<&Band> = match colour {
            Some(colour) => bands.iter().find(|b| b.fits(colour)).into_iter().collect(),
            None => bands.iter().collect(),
        };
        let mut values = found.iter().map(|b| b.limit());
        let value = values
            .next()
            .flatten()
            .ok_or_else(|| format!("{whole}: `{key}` has no figure of its own there"))?;
        if values.any(|other| other.is_none_or(|o| o.to_bits() != value.to_bits())) {
            return Err(format!(
                "{whole}: `{key}` has several limits: say the colour"
            ));
        }
        Ok(Limit { value, decimals })
    }
}

const START: &str = "{limit ";

struct Limit {
    value: f64,
    decimals: Option<usize>,
}

impl Limit {
    /// With at least as many decimals as are asked for, and never rounded.
    fn text(&self) -> String {
        let shortest = self.value.to_string();
        let written = shortest.split_once('.').map_or(0, |(_, after)| after.len());
        let decimals = self.decimals.unwrap_or(0).max(written);
        format!("{:.decimals$}", self.value)
    }
}
