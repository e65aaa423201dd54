//! `tautbook report` and `tautbook card` as processes.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

mod common;

use common::{command, run, run_command, sample_book};

#[test]
fn a_report_is_written_whole_and_the_same_again() {
    let folder = tempfile::tempdir().unwrap();
    sample_book(folder.path());
    let make = |out: &str, more: &str| {
        run(
            folder.path(),
            &format!("report latest --book book.taut --out {out} {more}"),
        )
        .fine()
    };
    let said = make("a.pdf", "").out;
    assert!(
        said.starts_with("a.pdf: ") && said.contains("pages"),
        "{said}"
    );
    make("b.pdf", "");
    make("c.pdf", "--paper a4 --language fr");
    let read = |name: &str| std::fs::read(folder.path().join(name)).unwrap();
    assert!(read("a.pdf").starts_with(b"%PDF-"));
    assert_eq!(read("a.pdf"), read("b.pdf"));
    assert_ne!(read("a.pdf"), read("c.pdf"));
    let left: Vec<_> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.contains(".part"))
        .collect();
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn what_is_there_is_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    sample_book(folder.path());
    let taken = folder.path().join("taken.pdf");
    std::fs::write(&taken, "mine").unwrap();
    for command in ["report", "card"] {
        run(
            folder.path(),
            &format!("{command} latest --book book.taut --out taken.pdf"),
        )
        .refused(&["taken.pdf", "already", "name another"]);
    }
    assert_eq!(std::fs::read_to_string(&taken).unwrap(), "mine");
    run(
        folder.path(),
        "report latest --book book.taut --out nowhere/at/all.pdf",
    )
    .refused(&["all.pdf", "could not be", "check"]);
    run(folder.path(), "report 0000 --book book.taut --out x.pdf").refused(&["no visit", "show"]);
}

#[test]
fn a_card_is_made_for_a_line_by_name_or_for_a_visit() {
    let folder = tempfile::tempdir().unwrap();
    sample_book(folder.path());
    let mut by_name = command(folder.path());
    by_name.args(["card", "Hall 2", "--book", "book.taut", "--out", "hall.pdf"]);
    let said = run_command(&mut by_name).fine().out;
    assert!(said.contains("1 page,"), "{said}");
    run(
        folder.path(),
        "card latest --book book.taut --out visit.pdf --language es --paper a4",
    )
    .fine();
    run(folder.path(), "card Nowhere --book book.taut --out no.pdf").refused(&["no visit"]);
}
