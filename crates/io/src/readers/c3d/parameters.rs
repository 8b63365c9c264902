//! The parameter section: groups of named arrays.

use super::bytes::Bytes;
use super::error::C3dError;
use std::collections::HashMap;

/// Values of one parameter, in the order of the file (first dimension fastest).
#[derive(Clone, Debug, PartialEq)]
enum Values {
    Numbers(Vec<f64>),
    Texts(Vec<String>),
}

/// One parameter.
#[derive(Clone, Debug, PartialEq)]
struct Parameter {
    dimensions: Vec<usize>,
    values: Values,
}

/// All parameters by `GROUP:NAME`.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Parameters(HashMap<String, Parameter>);

impl Parameters {
    /// Reads the section between two bytes. Some writers do not mark the last record and some
    /// count the blocks wrong, so the data that follow are where it ends at the latest.
    pub(super) fn read(bytes: Bytes<'_>, start: usize, end: usize) -> Result<Self, C3dError> {
        let mut groups: HashMap<i8, String> = HashMap::new();
        let mut found: Vec<(i8, String, Parameter)> = Vec::new();
        let mut at = start + 4;
        while at < end {
            let Some(record) = Record::read(bytes, at)? else { break };
            if record.group < 0 {
                groups.insert(record.group.saturating_neg(), record.name);
            } else {
                let parameter = Parameter::read(bytes, record.content)
                    .ok_or_else(|| C3dError::BadParameter { name: record.name.clone(), at })?;
                found.push((record.group, record.name, parameter));
            }
            match record.next {
                Some(next) => at = next,
                None => break,
            }
        }
        let named = found.into_iter().filter_map(|(group, name, parameter)| {
            Some((format!("{}:{name}", groups.get(&group)?), parameter))
        });
        Ok(Self(named.collect()))
    }

    /// Numbers of a parameter; empty when it is not there.
    pub(super) fn numbers(&self, name: &str) -> &[f64] {
        match self.0.get(name).map(|parameter| &parameter.values) {
            Some(Values::Numbers(values)) => values,
            _ => &[],
        }
    }

    /// Texts of a parameter; empty when it is not there.
    pub(super) fn texts(&self, name: &str) -> &[String] {
        match self.0.get(name).map(|parameter| &parameter.values) {
            Some(Values::Texts(values)) => values,
            _ => &[],
        }
    }

    /// Length of the first dimension.
    pub(super) fn rows(&self, name: &str) -> usize {
        self.0.get(name).and_then(|one| one.dimensions.first()).copied().unwrap_or(1)
    }
}

/// A group or a parameter, before its content.
struct Record {
    group: i8,
    name: String,
    content: usize,
    next: Option<usize>,
}

impl Record {
    /// `None` where the section ends.
    fn read(bytes: Bytes<'_>, at: usize) -> Result<Option<Self>, C3dError> {
        const WHAT: &str = "the parameters";
        let Some(&length) = bytes.all.get(at) else { return Ok(None) };
        // A negative length marks a locked parameter.
        let length = usize::from(length.cast_signed().unsigned_abs());
        if length == 0 {
            return Ok(None);
        }
        let group = bytes.byte(WHAT, at + 1)?.cast_signed();
        let name = String::from_utf8_lossy(bytes.slice(WHAT, at + 2, length)?).to_uppercase();
        let pointer = at + 2 + length;
        let offset = usize::from(bytes.word(WHAT, pointer)?);
        // Offsets count from their own place; one that does not lead forward ends the section.
        let next = (offset > 2).then_some(pointer + offset);
        Ok(Some(Self { group, name: name.trim().to_owned(), content: pointer + 2, next }))
    }
}

impl Parameter {
    fn read(bytes: Bytes<'_>, at: usize) -> Option<Self> {
        const WHAT: &str = "a parameter";
        let kind = bytes.byte(WHAT, at).ok()?.cast_signed();
        let count = usize::from(bytes.byte(WHAT, at + 1).ok()?);
        let dimensions: Vec<usize> =
            bytes.slice(WHAT, at + 2, count).ok()?.iter().map(|&size| usize::from(size)).collect();
        let elements = dimensions.iter().try_fold(1_usize, |all, &one| all.checked_mul(one))?;
        let size = usize::from(kind.unsigned_abs());
        let data = bytes.slice(WHAT, at + 2 + count, elements.checked_mul(size)?).ok()?;
        let values = match kind {
            -1 => Values::Texts(texts(data, &dimensions)),
            1 => Values::Numbers(data.iter().map(|&byte| f64::from(byte)).collect()),
            2 => {
                let words = data.as_chunks::<2>().0.iter();
                let signed = words.map(|&word| bytes.processor.word(word).cast_signed());
                Values::Numbers(signed.map(f64::from).collect())
            }
            4 => {
                let floats = data.as_chunks::<4>().0.iter();
                Values::Numbers(floats.map(|&float| bytes.processor.float(float)).collect())
            }
            _ => return None,
        };
        Some(Self { dimensions, values })
    }
}

/// Texts of the length of the first dimension.
fn texts(data: &[u8], dimensions: &[usize]) -> Vec<String> {
    let length = dimensions.first().copied().unwrap_or(data.len()).max(1);
    data.chunks(length)
        .map(|text| String::from_utf8_lossy(text).trim_matches([' ', '\0']).to_owned())
        .collect()
}
