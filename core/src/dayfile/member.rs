//! What a day file is made of.

use crate::survey::is_sha256;

/// The list of all the others.
pub(super) const MANIFEST: &str = "manifest.json";
/// The records as they are now.
pub(super) const RECORDS: &str = "records.json";
/// How they came to be so.
pub(super) const HISTORY: &str = "history.json";
/// Every reading, for people and spreadsheets.
pub(super) const READINGS: &str = "readings.csv";
/// Every load, for people and spreadsheets.
pub(super) const LOADS: &str = "loads.csv";

const PHOTOS: &str = "photos/";
const REPORTS: &str = "reports/";

/// More members than this are not read.
pub(super) const MOST_MEMBERS: usize = 200_000;

/// A member by what it is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Member<'n> {
    Manifest,
    Records,
    History,
    /// A table for people: verified, never read back.
    Table,
    /// A picture, by its SHA-256.
    Photo(&'n str),
    /// A report for people: verified, never read back.
    Report,
}

impl<'n> Member<'n> {
    /// What a name is for; `None` for any name that no day file has. Names are compared whole, so
    /// none leads out of the file.
    pub(super) fn of(name: &'n str) -> Option<Self> {
        match name {
            MANIFEST => Some(Self::Manifest),
            RECORDS => Some(Self::Records),
            HISTORY => Some(Self::History),
            READINGS | LOADS => Some(Self::Table),
            _ => {
                if let Some(file) = name.strip_prefix(PHOTOS) {
                    let sha256 = file.strip_suffix(".jpg")?;
                    return is_sha256(sha256).then_some(Self::Photo(sha256));
                }
                let file = name.strip_prefix(REPORTS)?.strip_suffix(".pdf")?;
                is_plain(file).then_some(Self::Report)
            }
        }
    }

    /// The most bytes of it that are read.
    pub(super) const fn most(self) -> u64 {
        match self {
            Self::Manifest | Self::Photo(_) | Self::Report => 64 << 20,
            Self::Records | Self::History | Self::Table => 256 << 20,
        }
    }
}

/// The name of a picture's member.
pub(super) fn photo(sha256: &str) -> String {
    format!("{PHOTOS}{sha256}.jpg")
}

/// The name of a report's member, made of any text.
pub(super) fn report(title: &str) -> String {
    let mut name = String::new();
    for c in title.chars().take(60) {
        let plain = c.is_ascii_alphanumeric() || matches!(c, '-' | '_');
        if plain {
            name.push(c);
        } else if !name.is_empty() && !name.ends_with('-') {
            name.push('-');
        }
    }
    let name = name.trim_matches('-');
    let name = if name.is_empty() { "report" } else { name };
    format!("{REPORTS}{name}.pdf")
}

fn is_plain(text: &str) -> bool {
    !text.is_empty()
        && text.len() <= 80
        && text
            .bytes()
            .all(|byte| byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_names_of_a_day_file_are_members() {
        let sha = "0123456789abcdef".repeat(4);
        assert_eq!(Member::of(&photo(&sha)), Some(Member::Photo(&sha)));
        assert_eq!(Member::of("manifest.json"), Some(Member::Manifest));
        assert_eq!(
            Member::of(&report("Harrow Tile, Kiln Lane / 2026-03-04 ñ")),
            Some(Member::Report)
        );
        assert_eq!(report("../../.ssh"), "reports/ssh.pdf");
        assert_eq!(report("ñ"), "reports/report.pdf");
        for name in [
            "",
            "/manifest.json",
            "./manifest.json",
            "MANIFEST.JSON",
            "manifest.json/",
            "manifest.json\0",
            "../records.json",
            "photos/../records.json",
            "photos/",
            "photos/a.jpg",
            "reports/../a.pdf",
            "reports/.pdf",
            "reports\\a.pdf",
            "C:\\records.json",
            "photos/0123456789ABCDEF0123456789abcdef0123456789abcdef0123456789abcdef.jpg",
        ] {
            assert_eq!(Member::of(name), None, "{name:?}");
        }
    }
}
