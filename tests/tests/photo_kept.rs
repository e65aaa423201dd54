//! Pictures beside the book: kept once, held against their names, made good, recorded in order.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::path::Path;
use std::process::{Command, Stdio};

use tautbook_core::book::{Book, BookError, OpenMode, SystemClock, recover};
use tautbook_core::photos::{Options, PhotoError, PhotoFolder};
use tautbook_core::survey::{Id, Kind, Photo, Record, RecordRef, Tool, ToolKind};
use tautbook_tests::day;
use tautbook_tests::namespace::{given_folder, run_again};
use tautbook_tests::photo_store::{Shown, half_written, hold, picture, started};

fn says(error: &dyn std::fmt::Display, words: &[&str]) {
    let text = error.to_string();
    for word in words {
        assert!(text.contains(word), "'{text}' does not say '{word}'");
    }
}

fn add(book: &mut Book, n: u16, of: RecordRef) -> Record<Photo> {
    let kept = book.photo_folder().keep(&picture(n)).unwrap();
    let done = book.act("add_photo", |act| act.add_photo(&kept, of, format!("{n}")));
    done.unwrap().value
}

fn captions(book: &Book, of: RecordRef) -> Vec<String> {
    let photos = book.photos_of(of).unwrap().into_iter();
    photos.map(|photo| photo.body.caption).collect()
}

fn folder_with(n: u16) -> (tempfile::TempDir, PhotoFolder, String) {
    let folder = tempfile::tempdir().unwrap();
    let photos = PhotoFolder::beside(&folder.path().join("book.taut"));
    let kept = photos.keep(&picture(n)).unwrap();
    let sha = kept.sha256().to_owned();
    (folder, photos, sha)
}

#[test]
fn the_same_picture_twice_is_one_file_and_two_records() {
    let folder = tempfile::tempdir().unwrap();
    let (mut book, shown) = started(folder.path());
    let first = add(&mut book, 1, shown.load);
    let files = day::files(folder.path());
    assert_eq!(files.len(), 2, "the picture and its thumbnail: {files:?}");
    let second = add(&mut book, 1, shown.reading);
    assert_eq!(day::files(folder.path()), files);
    assert_ne!(first.id, second.id);
    assert_eq!(first.sha256, second.sha256);
    drop(book);
    hold(
        &folder.path().join("book.taut"),
        shown.load,
        &[first.body.sha256],
    );
}

#[test]
fn a_missing_or_changed_file_is_told_and_put_right_by_taking_it_in_again() {
    let (_folder, photos, sha) = folder_with(1);
    let path = photos.photo(&sha).unwrap();
    let whole = std::fs::read(&path).unwrap();
    assert_eq!(photos.check(&sha), Ok(u64::try_from(whole.len()).unwrap()));

    std::fs::remove_file(&path).unwrap();
    for error in [
        photos.read(&sha).unwrap_err(),
        photos.check(&sha).unwrap_err(),
    ] {
        assert!(matches!(error, PhotoError::Lost { .. }), "{error:?}");
        says(&error, &["missing", &sha, "put it back", "day file"]);
    }
    // Each single bit of a file counts; here the middle one, the last, and a byte more.
    for spoil in [
        |bytes: &mut Vec<u8>| {
            let middle = bytes.len() / 2;
            bytes[middle] ^= 1;
        },
        |bytes: &mut Vec<u8>| bytes.truncate(bytes.len() - 1),
        |bytes: &mut Vec<u8>| bytes.push(0),
        |bytes: &mut Vec<u8>| bytes.clear(),
    ] {
        let mut bytes = whole.clone();
        spoil(&mut bytes);
        std::fs::write(&path, &bytes).unwrap();
        for error in [
            photos.read(&sha).unwrap_err(),
            photos.check(&sha).unwrap_err(),
        ] {
            assert!(matches!(error, PhotoError::Altered { .. }), "{error:?}");
            says(&error, &["changed or damaged", &sha, "put it back"]);
        }
        photos.keep(&picture(1)).unwrap();
        assert_eq!(photos.read(&sha).unwrap(), whole, "put right");
    }
}

#[test]
fn a_thumbnail_is_made_again_when_it_is_gone_or_spoilt() {
    let (_folder, photos, sha) = folder_with(1);
    let options = Options::default();
    let thumb = photos.thumbnail(&sha).unwrap();
    let first = photos.read_thumbnail(&sha, &options).unwrap();
    for spoilt in [None, Some(&first[..first.len() / 2]), Some(&b"?"[..])] {
        match spoilt {
            None => std::fs::remove_file(&thumb).unwrap(),
            Some(bytes) => std::fs::write(&thumb, bytes).unwrap(),
        }
        let again = photos.read_thumbnail(&sha, &options).unwrap();
        jpeg_decoder::Decoder::new(again.as_slice())
            .decode()
            .unwrap();
        assert_eq!(std::fs::read(&thumb).unwrap(), again, "and kept");
    }
    std::fs::remove_file(photos.photo(&sha).unwrap()).unwrap();
    photos.read_thumbnail(&sha, &options).unwrap(); // Better than nothing.
    std::fs::remove_file(&thumb).unwrap();
    let error = photos.read_thumbnail(&sha, &options).unwrap_err();
    says(&error, &["missing", "put it back"]);
}

#[test]
fn a_name_that_is_no_sha256_leads_nowhere() {
    let (_folder, photos, sha) = folder_with(1);
    let upper = sha.to_uppercase();
    let outside = format!("../{}", &sha[3..]);
    for name in ["", "..", "/etc/passwd", &sha[1..], &upper, &outside] {
        assert_eq!(photos.photo(name), None, "{name}");
        assert_eq!(photos.thumbnail(name), None, "{name}");
        for error in [
            photos.read(name).unwrap_err(),
            photos.check(name).unwrap_err(),
            photos
                .read_thumbnail(name, &Options::default())
                .unwrap_err(),
        ] {
            assert!(
                matches!(error, PhotoError::Lost { .. }),
                "{name}: {error:?}"
            );
        }
    }
}

#[test]
fn pictures_belong_to_what_they_show() {
    let folder = tempfile::tempdir().unwrap();
    let (mut book, shown) = started(folder.path());
    let Shown {
        visit,
        line,
        load,
        reading,
        check,
    } = shown;
    for (n, of) in (0..).zip([visit, line, load, reading, check]) {
        assert_eq!(captions(&book, of), [""; 0], "{of}");
        let photo = add(&mut book, n, of);
        assert_eq!(photo.visit.uuid(), visit.id, "{of}");
        assert_eq!(photo.of, of);
        assert_eq!(book.photos_of(of).unwrap(), [photo], "{of}");
    }
    let kept = book.photo_folder().keep(&picture(9)).unwrap();
    let tool = book
        .act("add_tool", |act| act.add(Tool::new(ToolKind::Tape, "5 m")))
        .unwrap();
    let nowhere = RecordRef {
        kind: Kind::Load,
        id: reading.id,
    };
    let mut attempt = |of| {
        book.act("add_photo", |act| act.add_photo(&kept, of, ""))
            .unwrap_err()
    };
    let error = attempt(tool.value.reference());
    says(&error, &["a picture shows something of a visit"]);
    let error = attempt(nowhere);
    assert!(matches!(error, BookError::NotFound(_)), "{error:?}");
    assert_eq!(book.all::<Photo>().unwrap().len(), 5);
    assert_eq!(book.verify().unwrap().faults, []);
}

#[test]
fn pictures_keep_their_order_and_can_be_set_aside_and_brought_back() {
    let folder = tempfile::tempdir().unwrap();
    let (mut book, shown) = started(folder.path());
    let photos: Vec<_> = (0..4).map(|n| add(&mut book, n, shown.load)).collect();
    assert_eq!(captions(&book, shown.load), ["0", "1", "2", "3"]);
    let place = |book: &mut Book, n: usize, to| {
        book.act("move_photo", |act| act.place_photo(photos[n].id, to))
            .unwrap()
    };
    place(&mut book, 3, 0);
    assert_eq!(captions(&book, shown.load), ["3", "0", "1", "2"]);
    let moved = place(&mut book, 0, 99);
    assert_eq!(captions(&book, shown.load), ["3", "1", "2", "0"]);
    book.undo(moved.action.unwrap()).unwrap();
    assert_eq!(captions(&book, shown.load), ["3", "0", "1", "2"]);
    book.act("caption_photo", |act| {
        act.caption_photo(photos[1].id, "torn")
    })
    .unwrap();
    let aside = book
        .act("set_aside", |act| act.set_aside(photos[0].id, "blurred"))
        .unwrap();
    assert_eq!(captions(&book, shown.load), ["3", "torn", "2"]);
    // A file that no picture in use names stays: nothing is ever lost.
    book.photo_folder().read(&photos[0].sha256).unwrap();
    book.undo(aside.action.unwrap()).unwrap();
    assert_eq!(captions(&book, shown.load), ["3", "0", "torn", "2"]);
    assert_eq!(book.verify().unwrap().photo_files, 4);
}

#[test]
fn a_book_that_is_verified_names_the_pictures_that_are_gone() {
    let folder = tempfile::tempdir().unwrap();
    let (mut book, shown) = started(folder.path());
    let photos: Vec<_> = (0..3).map(|n| add(&mut book, n, shown.load)).collect();
    let twice = add(&mut book, 0, shown.reading);
    let files = book.photo_folder();
    std::fs::remove_file(files.photo(&photos[0].sha256).unwrap()).unwrap();
    std::fs::write(files.photo(&photos[1].sha256).unwrap(), "spoilt").unwrap();
    let report = book.verify().unwrap();
    assert_eq!(report.faults, [], "the book itself is sound");
    assert_eq!(report.photo_files, 1);
    let mut named: Vec<_> = report
        .photo_faults
        .iter()
        .map(|fault| (fault.photo.id, fault.error.clone()))
        .collect();
    named.sort_by_key(|(id, _)| *id);
    let lost = |photo: &Record<Photo>| PhotoError::Lost {
        name: format!("{}.jpg", photo.sha256),
    };
    let altered = PhotoError::Altered {
        name: format!("{}.jpg", photos[1].sha256),
    };
    let wanted = [
        (photos[0].id.uuid(), lost(&photos[0])),
        (photos[1].id.uuid(), altered),
        (twice.id.uuid(), lost(&twice)),
    ];
    assert_eq!(named, wanted);
}

#[test]
fn a_list_of_pictures_says_of_each_what_is_wrong_with_its_file() {
    let folder = tempfile::tempdir().unwrap();
    let (mut book, shown) = started(folder.path());
    for n in 0..4 {
        add(&mut book, n, shown.load);
    }
    let files = book.photo_folder();
    let photos = book.photos_of(shown.load).unwrap();
    let place = |n: usize| files.photo(&photos[n].sha256).unwrap();
    assert!(photos.iter().all(|photo| files.glance(photo).is_ok()));
    std::fs::remove_file(place(1)).unwrap();
    std::fs::write(place(2), "cut off").unwrap();
    std::fs::remove_file(place(3)).unwrap();
    std::fs::create_dir(place(3)).unwrap();
    let told: Vec<_> = photos.iter().map(|photo| files.glance(photo)).collect();
    assert_eq!(told[0], Ok(()));
    says(told[1].as_ref().unwrap_err(), &["missing", "put it back"]);
    for told in &told[2..] {
        says(
            told.as_ref().unwrap_err(),
            &["changed or damaged", "put it back"],
        );
    }
    let mut elsewhere = photos[0].body.clone();
    elsewhere.sha256 = "../../book.taut".to_owned();
    says(&files.glance(&elsewhere).unwrap_err(), &["missing"]);
}

#[test]
fn a_recovered_book_has_its_pictures_beside_it() {
    let folder = tempfile::tempdir().unwrap();
    let (mut book, shown) = started(folder.path());
    let photos: Vec<_> = (0..2).map(|n| add(&mut book, n, shown.load)).collect();
    let files = book.photo_folder();
    std::fs::remove_file(files.photo(&photos[1].sha256).unwrap()).unwrap();
    let path = book.path().to_owned();
    drop(book);
    let elsewhere = tempfile::tempdir().unwrap();
    let new = elsewhere.path().join("saved.taut");
    let recovered = recover(&path, &new, Box::new(SystemClock)).unwrap();
    let lost: Vec<_> = recovered.lost.iter().map(ToString::to_string).collect();
    assert_eq!(lost.len(), 1, "{lost:?}");
    says(&lost[0], &["the file of", "missing", &photos[1].sha256]);
    let (saved, _) = Book::open(&new, OpenMode::Existing, Box::new(SystemClock)).unwrap();
    assert_eq!(captions(&saved, shown.load), ["0", "1"]);
    assert_eq!(
        saved.photo_folder().read(&photos[0].sha256).unwrap(),
        files.read(&photos[0].sha256).unwrap()
    );
    assert!(
        saved
            .photo_folder()
            .thumbnail(&photos[0].sha256)
            .unwrap()
            .exists()
    );
}

#[test]
fn what_a_living_program_writes_is_not_swept() {
    let (folder, photos, sha) = folder_with(1);
    let book = folder.path().join("book.taut");
    let (held, dead) = (
        photos.path().join(".part-held"),
        photos.path().join(".part-dead"),
    );
    std::fs::write(&dead, "half").unwrap();
    // Another program holds the one, as `flock` of util-linux does.
    let mut other = Command::new("flock")
        .arg(&held)
        .args(["sh", "-c", "echo held; read -r _"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut line = String::new();
    let out = other.stdout.take().unwrap();
    std::io::BufRead::read_line(&mut std::io::BufReader::new(out), &mut line).unwrap();
    assert_eq!(line, "held\n");
    assert_eq!(photos.sweep(), 1);
    assert!(held.exists() && !dead.exists());
    drop(other.stdin.take());
    other.wait().unwrap();
    assert_eq!(photos.sweep(), 1);
    assert_eq!(half_written(&book), 0);
    photos.read(&sha).unwrap();
}

#[test]
fn a_full_disk_is_told_and_every_picture_saved_before_is_whole() {
    let Some(folder) = given_folder() else {
        let folder = tempfile::tempdir().unwrap();
        return run_again(
            "a_full_disk_is_told_and_every_picture_saved_before_is_whole",
            folder.path(),
            "mount -t tmpfs -o size=2m tmpfs \"$1\"",
        );
    };
    let path = folder.join("book.taut");
    let (mut book, shown) = started(&folder);
    let filler = folder.join("filler");
    std::fs::write(&filler, vec![0; 500_000]).unwrap();
    let mut saved = Vec::new();
    let told = loop {
        let n = u16::try_from(saved.len()).unwrap();
        match book.photo_folder().keep(&picture(n)) {
            Err(error) => {
                assert_eq!(error, PhotoError::DiskFull);
                break error.to_string();
            }
            Ok(kept) => match book.act("add_photo", |act| act.add_photo(&kept, shown.load, "")) {
                Err(error) => {
                    assert!(matches!(error, BookError::DiskFull), "{error:?}");
                    break error.to_string();
                }
                Ok(done) => saved.push(done.value.body.sha256),
            },
        }
        assert!(saved.len() < 2_000, "the disk never fills");
    };
    println!("{} pictures; then: {told}", saved.len());
    says(&told, &["storage is full", "safe", "free some space"]);
    assert!(saved.len() > 3, "{}", saved.len());
    assert_eq!(half_written(&path), 0, "what could not be written is gone");
    assert_eq!(book.verify().unwrap().photo_faults, []);
    drop(book);
    std::fs::remove_file(filler).unwrap();
    hold(&path, shown.load, &saved);
    let (mut book, _) = Book::open(&path, OpenMode::Existing, Box::new(SystemClock)).unwrap();
    let again = add(&mut book, u16::try_from(saved.len()).unwrap(), shown.load);
    drop(book);
    saved.push(again.body.sha256);
    hold(&path, shown.load, &saved);
}

#[test]
fn in_a_read_only_folder_pictures_are_shown_and_none_is_kept() {
    let test = "in_a_read_only_folder_pictures_are_shown_and_none_is_kept";
    let Some(folder) = given_folder() else {
        let folder = tempfile::tempdir().unwrap();
        let (mut book, shown) = started(folder.path());
        let photo = add(&mut book, 1, shown.load);
        let thumb = book.photo_folder().thumbnail(&photo.sha256).unwrap();
        std::fs::remove_file(thumb).unwrap();
        drop(book);
        return run_again(
            test,
            folder.path(),
            "mount --bind \"$1\" \"$1\" && mount -o remount,bind,ro \"$1\"",
        );
    };
    let path = folder.join("book.taut");
    let (book, _) = Book::open(&path, OpenMode::ReadOnly, Box::new(SystemClock)).unwrap();
    let photos = book.photo_folder();
    let error = photos.keep(&picture(2)).unwrap_err();
    assert!(matches!(error, PhotoError::ReadOnly { .. }), "{error:?}");
    says(&error, &["read-only", "move the book", "Nothing was saved"]);
    let all = book.all::<Photo>().unwrap();
    let id: Id<Photo> = all[0].id;
    assert_eq!(book.get(id).unwrap(), all[0]);
    photos.read(&all[0].sha256).unwrap();
    let thumb = photos.read_thumbnail(&all[0].sha256, &Options::default());
    assert!(!thumb.unwrap().is_empty(), "made, though it cannot be kept");
    assert!(!Path::new(&photos.thumbnail(&all[0].sha256).unwrap()).exists());
}
