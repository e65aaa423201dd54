//! What can befall a day file: each fault is told plainly, names the member, and leaves the book as
//! it was.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::io::{Cursor, Read, Write as _};
use std::sync::OnceLock;

use proptest::prelude::*;
use serde_json::{Value, json};
use sha2::{Digest, Sha256};
use tautbook_core::dayfile::{DayFile, DayFileError, MemberFault, VerifiedDayFile};
use tautbook_tests::day::{empty, files, go_on, worked};
use tautbook_tests::namespace::{given_folder, run_again};
use tautbook_tests::seeded::Seeded;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

type Members = BTreeMap<String, Vec<u8>>;

/// A good day file with two pictures.
fn good() -> &'static [u8] {
    static GOOD: OnceLock<Vec<u8>> = OnceLock::new();
    GOOD.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        let (book, visit) = worked(folder.path(), "parts-warehouse", 2);
        let path = folder.path().join("day.zip");
        let day = DayFile {
            visits: vec![visit],
            ..DayFile::default()
        };
        day.write(&book, &path, &mut go_on).unwrap();
        std::fs::read(path).unwrap()
    })
}

fn members() -> Members {
    let mut zip = ZipArchive::new(Cursor::new(good())).unwrap();
    (0..zip.len())
        .map(|n| {
            let mut member = zip.by_index(n).unwrap();
            let mut bytes = Vec::new();
            member.read_to_end(&mut bytes).unwrap();
            (member.name().unwrap().into_owned(), bytes)
        })
        .collect()
}

fn packed(members: &Members) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
    for (name, bytes) in members {
        zip.start_file(name, options).unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
        write!(text, "{byte:02x}").unwrap();
        text
    })
}

/// Makes the manifest agree with the members again, as whoever alters a file on purpose would.
fn list_again(members: &mut Members) {
    let mut manifest: Value = serde_json::from_slice(&members["manifest.json"]).unwrap();
    manifest["members"] = members
        .iter()
        .filter(|(name, _)| *name != "manifest.json")
        .map(|(name, bytes)| {
            let sum = json!({"bytes": bytes.len(), "sha256": hex(&Sha256::digest(bytes))});
            (name.clone(), sum)
        })
        .collect::<serde_json::Map<_, _>>()
        .into();
    members.insert(
        "manifest.json".to_owned(),
        serde_json::to_vec(&manifest).unwrap(),
    );
}

fn edit(members: &mut Members, name: &str, with: impl FnOnce(&mut Value)) {
    let mut json: Value = serde_json::from_slice(&members[name]).unwrap();
    with(&mut json);
    members.insert(name.to_owned(), serde_json::to_vec(&json).unwrap());
}

/// What a file is refused with. No book is asked: it is refused before.
fn refused(bytes: Vec<u8>) -> DayFileError {
    match VerifiedDayFile::from_bytes(bytes, None, &mut go_on) {
        Ok(_) => panic!("it was read"),
        Err(error) => error,
    }
}

/// The fault, and that the sentence names the member.
#[track_caller]
fn fault(bytes: Vec<u8>, member: &str) -> MemberFault {
    let error = refused(bytes);
    let text = error.to_string();
    assert!(text.contains(member), "'{text}' does not name '{member}'");
    match error {
        DayFileError::Member { fault, .. } => fault,
        error => panic!("{error:?}"),
    }
}

fn a_photo(members: &Members) -> String {
    let mut names = members.keys().filter(|name| name.starts_with("photos/"));
    names.next().unwrap().clone()
}

#[test]
fn what_is_packed_again_is_read() {
    let mut members = members();
    VerifiedDayFile::from_bytes(packed(&members), None, &mut go_on).unwrap();
    list_again(&mut members);
    VerifiedDayFile::from_bytes(packed(&members), None, &mut go_on).unwrap();
}

#[test]
fn an_altered_member_is_named() {
    for name in members().into_keys().filter(|name| name != "manifest.json") {
        let mut altered = members();
        let bytes = altered.get_mut(&name).unwrap();
        let at = bytes.len() / 2;
        bytes[at] ^= 1;
        assert_eq!(fault(packed(&altered), &name), MemberFault::Altered);
        let mut longer = members();
        longer.get_mut(&name).unwrap().push(b' ');
        assert_eq!(fault(packed(&longer), &name), MemberFault::Altered);
    }
}

#[test]
fn records_altered_together_with_the_list_are_found_by_their_history() {
    let mut altered = members();
    edit(&mut altered, "records.json", |json| {
        json["records"]["readings"][0]["notes"] = json!("of another hand");
    });
    list_again(&mut altered);
    let error = refused(packed(&altered));
    assert!(matches!(error, DayFileError::TwoStories { .. }), "{error}");
    assert!(error.to_string().contains("the reading "), "{error}");
    // Nor may one be taken out, or be there twice.
    for edit_records in [
        (|json: &mut Value| drop(json["records"]["readings"].as_array_mut().unwrap().pop()))
            as fn(&mut Value),
        |json| {
            let readings = json["records"]["readings"].as_array_mut().unwrap();
            readings.push(readings[0].clone());
        },
    ] {
        let mut altered = members();
        edit(&mut altered, "records.json", edit_records);
        list_again(&mut altered);
        let error = refused(packed(&altered));
        assert!(matches!(error, DayFileError::TwoStories { .. }), "{error}");
    }
}

#[test]
fn a_history_with_a_hole_is_refused() {
    let mut altered = members();
    edit(&mut altered, "history.json", |json| {
        json["actions"].as_array_mut().unwrap().pop();
    });
    list_again(&mut altered);
    assert!(matches!(refused(packed(&altered)), DayFileError::Merge(_)));
}

#[test]
fn a_file_that_was_cut_off_is_told_wherever_it_was() {
    let good = good();
    for share in 1..40 {
        let cut = good[..good.len() * share / 40].to_vec();
        let error = refused(cut);
        assert!(
            matches!(
                error,
                DayFileError::CutOff { .. } | DayFileError::NotADayFile
            ),
            "{error:?}"
        );
    }
}

#[test]
fn other_files_are_told_apart() {
    let not = |bytes: &[u8]| matches!(refused(bytes.to_vec()), DayFileError::NotADayFile);
    assert!(not(b""));
    assert!(not(b"{\"format\": \"tautbook-records\"}"));
    assert!(not(&[0; 5000]));
    let photo = a_photo(&members());
    let only_a_photo = members().into_iter().filter(|(name, _)| *name == photo);
    assert!(not(&packed(&only_a_photo.collect())));
    let mut other = members();
    edit(&mut other, "manifest.json", |json| {
        json["format"] = json!("else");
    });
    assert!(not(&packed(&other)));
}

#[test]
fn a_newer_file_says_so() {
    let mut newer = members();
    edit(&mut newer, "manifest.json", |json| {
        json["version"] = json!(7);
        json["and"] = json!("more");
    });
    assert!(matches!(
        refused(packed(&newer)),
        DayFileError::Newer { found: 7, known: 1 }
    ));
}

#[test]
fn names_that_lead_elsewhere_are_refused() {
    for name in [
        "../book.taut",
        "/etc/passwd",
        "photos/../../x.jpg",
        "C:\\x.jpg",
        "photos\\a.jpg",
        "readme.txt",
        "records.json ",
        "Records.json",
        "photos/",
    ] {
        let mut more = members();
        more.insert(name.to_owned(), b"x".to_vec());
        let shown = format!("'{}'", name.escape_debug());
        assert_eq!(fault(packed(&more), &shown), MemberFault::Name);
        list_again(&mut more);
        assert_eq!(fault(packed(&more), &shown), MemberFault::Name);
    }
}

#[test]
fn links_folders_and_other_packings_are_refused() {
    let with = |add: fn(&mut ZipWriter<Cursor<Vec<u8>>>)| {
        let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
        add(&mut zip);
        zip.finish().unwrap().into_inner()
    };
    let link = with(|zip| {
        zip.add_symlink("records.json", "/etc/passwd", SimpleFileOptions::default())
            .unwrap();
    });
    let found = fault(link, "'records.json'");
    assert!(matches!(found, MemberFault::NotAFile(_)), "{found:?}");
    let folder = with(|zip| {
        zip.add_directory("photos", SimpleFileOptions::default())
            .unwrap();
    });
    assert_eq!(fault(folder, "'photos/'"), MemberFault::Name);
}

/// Two members of one name: which of them a reader sees depends on the reader.
#[test]
fn a_name_twice_is_refused() {
    let mut twice = members();
    let again = twice["records.json"].clone();
    twice.insert("recordz.json".to_owned(), again);
    let mut bytes = packed(&twice);
    let from = b"recordz.json";
    let at: Vec<usize> = (0..bytes.len() - from.len())
        .filter(|at| bytes[*at..].starts_with(from))
        .collect();
    assert!(at.len() >= 2);
    for at in at {
        bytes[at + 6] = b's';
    }
    assert_eq!(fault(bytes, "'records.json'"), MemberFault::Twice);
}

#[test]
fn lists_and_members_must_agree() {
    let mut missing = members();
    let photo = a_photo(&missing);
    missing.remove(&photo);
    assert_eq!(fault(packed(&missing), &photo), MemberFault::Missing);
    list_again(&mut missing);
    assert_eq!(fault(packed(&missing), &photo), MemberFault::Missing);
    for name in ["records.json", "history.json"] {
        let mut missing = members();
        missing.remove(name);
        list_again(&mut missing);
        assert_eq!(fault(packed(&missing), name), MemberFault::Missing);
    }
    let mut more = members();
    more.insert("reports/more.pdf".to_owned(), b"%PDF".to_vec());
    assert_eq!(
        fault(packed(&more), "reports/more.pdf"),
        MemberFault::NotListed
    );
    let mut stray = members();
    let bytes = b"not of any record".to_vec();
    let name = format!("photos/{}.jpg", hex(&Sha256::digest(&bytes)));
    stray.insert(name.clone(), bytes);
    list_again(&mut stray);
    assert_eq!(fault(packed(&stray), &name), MemberFault::NoRecord);
}

#[test]
fn a_picture_under_another_name_is_refused() {
    let mut twice = members();
    let bytes = twice[&a_photo(&twice)].clone();
    let name = format!("photos/{}.jpg", "0".repeat(64));
    twice.insert(name.clone(), bytes);
    list_again(&mut twice);
    assert_eq!(fault(packed(&twice), &name), MemberFault::Altered);
}

#[test]
fn texts_of_another_form_are_refused() {
    let deep = format!("{}{}", "[".repeat(200_000), "]".repeat(200_000));
    for name in ["records.json", "history.json", "manifest.json"] {
        for text in [deep.as_str(), "{", "", "null", "[]", "\u{feff}{}"] {
            let mut other = members();
            other.insert(name.to_owned(), text.as_bytes().to_vec());
            if name != "manifest.json" {
                list_again(&mut other);
            }
            let found = fault(packed(&other), name);
            assert!(
                matches!(found, MemberFault::Form(_) | MemberFault::Records(_)),
                "{name} {found:?}"
            );
        }
    }
    let mut unknown = members();
    edit(&mut unknown, "manifest.json", |json| {
        json["mood"] = json!("fine");
    });
    let found = fault(packed(&unknown), "manifest.json");
    assert!(found.to_string().contains("mood"), "{found}");
    let mut unknown = members();
    edit(&mut unknown, "records.json", |json| {
        json["records"]["visits"][0]["mood"] = json!("fine");
    });
    list_again(&mut unknown);
    let found = fault(packed(&unknown), "records.json");
    assert!(found.to_string().contains("visits.0.mood"), "{found}");
}

#[test]
fn a_bomb_is_not_unpacked() {
    // 600 MB of spaces in half a megabyte.
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    let members = members();
    for (name, bytes) in &members {
        zip.start_file(name, options).unwrap();
        if name == "records.json" {
            let spaces = vec![b' '; 1 << 20];
            for _ in 0..600 {
                zip.write_all(&spaces).unwrap();
            }
        } else {
            zip.write_all(bytes).unwrap();
        }
    }
    let bomb = zip.finish().unwrap().into_inner();
    assert!(bomb.len() < 2 << 20);
    let found = fault(bomb, "records.json");
    assert!(matches!(found, MemberFault::TooLarge { .. }), "{found:?}");
}

#[test]
fn ten_thousand_small_files_are_refused_at_the_first() {
    let mut many = members();
    for n in 0..10_000 {
        many.insert(format!("zz/{n:05}"), Vec::new());
    }
    assert_eq!(fault(packed(&many), "'zz/00000'"), MemberFault::Name);
}

#[test]
fn a_full_disk_leaves_no_half_file_and_the_book_as_it_was() {
    let Some(folder) = given_folder() else {
        let folder = tempfile::tempdir().unwrap();
        run_again(
            "a_full_disk_leaves_no_half_file_and_the_book_as_it_was",
            folder.path(),
            "mount -t tmpfs -o size=3m,mode=700 tmpfs \"$1\"",
        );
        return;
    };
    let full = |error: &DayFileError| error.to_string().contains("full");
    let mut room = 0;
    // Ever more room, from none of it to half a megabyte.
    let outside = tempfile::tempdir().unwrap();
    let (book, visit) = worked(outside.path(), "parts-warehouse", 2);
    let day = DayFile {
        visits: vec![visit],
        ..DayFile::default()
    };
    let filler = folder.join("filler");
    let (mut refused, mut done) = (0, 0);
    for filled in (0..30).map(|n| (3 << 20) - n * 20 * 1024) {
        let _ = std::fs::remove_file(&filler);
        let _ = std::fs::remove_file(folder.join("day.zip"));
        let _ = std::fs::write(&filler, vec![1; filled]);
        let before = files(&folder);
        match day.write(&book, &folder.join("day.zip"), &mut go_on) {
            Ok(written) => {
                done += 1;
                room = room.max(written.bytes);
            }
            Err(error) => {
                assert!(full(&error), "{error}");
                assert_eq!(files(&folder), before);
                refused += 1;
            }
        }
    }
    assert!(
        refused > 1 && done > 1 && room > 0,
        "{refused} {done} {room}"
    );
    // Taking in, into a book on the small disk.
    let file = outside.path().join("day.zip");
    day.write(&book, &file, &mut go_on).unwrap();
    let _ = std::fs::remove_file(folder.join("day.zip"));
    let _ = std::fs::remove_file(&filler);
    let mut here = empty(&folder);
    let (mut refused, mut done) = (0, 0);
    for filled in (0..30).map(|n| (3 << 20) - n * 100 * 1024) {
        let _ = std::fs::remove_file(&filler);
        let _ = std::fs::write(&filler, vec![1; filled]);
        let before = files(&folder);
        let known = here.visits(0, 10).unwrap();
        let opened = VerifiedDayFile::open(&file, None, &mut go_on).unwrap();
        match opened.take_into(&mut here, &mut go_on) {
            Ok(_) => done += 1,
            Err(error) => {
                assert!(full(&error), "{error}");
                assert_eq!(files(&folder), before);
                assert_eq!(here.visits(0, 10).unwrap(), known);
                refused += 1;
            }
        }
    }
    assert!(refused > 1 && done >= 1, "{refused} {done}");
    assert!(here.verify().unwrap().faults.is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]
    /// Whatever bytes are altered, it is either refused or what it was.
    #[test]
    fn altered_bytes_are_refused_or_harmless(seed in any::<u64>(), altered in 1_usize..20) {
        let mut random = Seeded::new(seed);
        let mut bytes = good().to_vec();
        for _ in 0..altered {
            let at = random.index(bytes.len());
            bytes[at] = u8::try_from(random.below(256)).unwrap();
        }
        if let Ok(file) = VerifiedDayFile::from_bytes(bytes, None, &mut go_on) {
            let whole = VerifiedDayFile::from_bytes(good().to_vec(), None, &mut go_on).unwrap();
            prop_assert_eq!(file.records(), whole.records());
        }
    }
}
