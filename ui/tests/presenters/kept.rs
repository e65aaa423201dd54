//! What is kept of a visit: pictures, what a machine's check list says, samples and their codes.

use std::ops::ControlFlow;

use chrono::NaiveDate;
use tautbook_core::label::ShortCode;
use tautbook_core::photos::{Options, Source, prepare};
use tautbook_core::survey::{
    CheckItem, CheckResult, Finding, Id, Kind, Photo, RecordRef, Sample, SampleEvent,
    SampleEventKind, SampleKind, WhoMayAct,
};
use tautbook_tests::scene;
use tautbook_ui::place::Place;
use tautbook_ui::presenters::{find, keep, machine, photos, sample, today};

use crate::{Desk, at};

fn of_load(desk: &Desk) -> RecordRef {
    RecordRef {
        kind: Kind::Load,
        id: desk.load.uuid(),
    }
}

/// Keeps pictures with the load, one for each width.
fn with_photos(desk: Desk, widths: &[u16]) -> (Desk, Vec<Id<Photo>>) {
    let of = of_load(&desk);
    let mut ids = Vec::new();
    let desk = desk.change_book(|book| {
        for width in widths {
            let jpeg = scene::jpeg(*width, 240, false);
            let mut go_on = |_| ControlFlow::Continue(());
            let prepared = prepare(Source::Bytes(&jpeg), &Options::default(), &mut go_on).unwrap();
            let kept = book.photo_folder().keep(&prepared).unwrap();
            let done = book.act("add_photo", |act| act.add_photo(&kept, of, ""));
            ids.push(done.unwrap().value.id);
        }
    });
    (desk, ids)
}

#[test]
fn pictures_keep_their_order_and_say_what_is_wrong_with_their_file() {
    let (mut desk, ids) = with_photos(Desk::new(), &[320, 336, 352]);
    let of = of_load(&desk);
    let shown = |desk: &Desk| -> Vec<Id<Photo>> {
        let view = photos::view(&desk.session, of).unwrap();
        assert!(view.photos.first().unwrap().first && view.photos.last().unwrap().last);
        view.photos.iter().map(|row| row.id).collect()
    };
    assert_eq!(shown(&desk), ids);
    photos::step(&mut desk.session, ids[0], true);
    assert_eq!(shown(&desk), [ids[1], ids[0], ids[2]]);
    photos::step(&mut desk.session, ids[1], false);
    assert_eq!(shown(&desk), [ids[1], ids[0], ids[2]], "none before it");
    assert_eq!(photos::how_many(&desk.session, of).unwrap(), 3);

    let folder = desk.session.book().photo_folder();
    let file = |id: Id<Photo>| {
        let photo = desk.session.book().get(id).unwrap();
        folder.photo(&photo.sha256).unwrap()
    };
    std::fs::remove_file(file(ids[0])).unwrap();
    std::fs::write(file(ids[2]), "cut short").unwrap();
    let lost: Vec<String> = photos::view(&desk.session, of)
        .unwrap()
        .photos
        .into_iter()
        .map(|row| row.lost)
        .collect();
    assert_eq!(lost[0], "", "the one in its place");
    assert!(
        lost[1].starts_with("The file of this picture is missing"),
        "{}",
        lost[1]
    );
    assert!(lost[2].contains("changed or damaged"), "{}", lost[2]);
}

#[test]
fn how_pictures_are_kept_is_remembered_and_off_at_first() {
    let mut desk = Desk::new();
    let options = photos::options(&desk.session).unwrap();
    assert!(!options.keep.position && !options.keep.camera);
    photos::keep_position(&mut desk.session, true);
    photos::limit_long_side(&mut desk.session, 1_600);
    let desk = desk.reopen();
    let options = photos::options(&desk.session).unwrap();
    assert!(options.keep.position && !options.keep.camera);
    assert_eq!(options.long_side, 1_600);
}

#[test]
fn the_line_counts_what_the_check_list_shows() {
    let mut desk = Desk::new();
    let line = desk.line;
    let counted = |desk: &Desk| {
        let view = machine::view(&desk.session, line).unwrap();
        let counted = machine::looked_at(&desk.session, line).unwrap();
        assert_eq!(counted, (view.done, view.items.len()));
        counted.0
    };
    assert_eq!(counted(&desk), 0);
    machine::acknowledge(&mut desk.session, line, true);
    machine::pick(
        &mut desk.session,
        line,
        CheckItem::Springs,
        CheckResult::Good,
    );
    machine::pick(
        &mut desk.session,
        line,
        CheckItem::Brake,
        CheckResult::NeedsTechnician,
    );
    machine::pick(
        &mut desk.session,
        line,
        CheckItem::Brake,
        CheckResult::Adjusted,
    );
    assert_eq!(counted(&desk), 2);
    machine::edit(
        &mut desk.session,
        line,
        CheckItem::RollerGap,
        true,
        "0.3 mm",
    );
    assert_eq!(counted(&desk), 3, "a gap that was measured was looked at");
    machine::pick(
        &mut desk.session,
        line,
        CheckItem::FilmTail,
        CheckResult::NotLookedAt,
    );
    assert_eq!(counted(&desk), 3, "not looked at is not looked at");
}

/// What was locked out yesterday may run today.
#[test]
fn a_lockout_counts_on_its_day() {
    let mut desk = Desk::new();
    let line = desk.line;
    let view = |desk: &Desk| machine::view(&desk.session, line).unwrap();
    let asks = |desk: &Desk, item: CheckItem| {
        let items = view(desk).items;
        items
            .iter()
            .any(|row| row.item == item && !row.not_locked.is_empty())
    };
    let (springs, chain) = (CheckItem::Springs, CheckItem::ChainOrBelt);
    machine::acknowledge(&mut desk.session, line, true);
    machine::pick(&mut desk.session, line, springs, CheckResult::Good);
    assert!(asks(&desk, springs));
    machine::edit_isolated_by(&mut desk.session, line, "Shift electrician");
    assert!(!asks(&desk, springs));

    // Half a name, as the app ends.
    machine::draft_isolated_by(&mut desk.session, "Shift elec");

    let mut desk = desk.reopen_at(at(24 * 3_600_000));
    assert!(!view(&desk).acknowledged, "to be read again");
    assert!(!asks(&desk, springs), "it was looked at under that lockout");
    machine::edit_isolated_by(&mut desk.session, line, "Shift electrician");
    assert!(view(&desk).isolated_by.error.contains("tick first"));
    machine::acknowledge(&mut desk.session, line, true);
    assert_eq!(view(&desk).isolated_by.text, "", "nobody yet");
    // A word about it is no look at it.
    machine::edit(&mut desk.session, line, springs, false, "New ones ordered");
    assert!(!asks(&desk, springs));
    machine::pick(&mut desk.session, line, chain, CheckResult::Good);
    assert!(asks(&desk, chain) && !asks(&desk, springs));
    machine::pick(
        &mut desk.session,
        line,
        springs,
        CheckResult::NeedsTechnician,
    );
    assert!(asks(&desk, springs), "looked at again today");
    machine::edit_isolated_by(&mut desk.session, line, "");
    let desk = desk.reopen_at(at(48 * 3_600_000));
    let items = view(&desk).items;
    let told = items.iter().find(|row| row.item == chain).unwrap();
    assert!(told.not_locked.contains("out on "), "{}", told.not_locked);
    let mut desk = desk.reopen_at(at(25 * 3_600_000));
    machine::edit_isolated_by(&mut desk.session, line, "Team leader");
    assert!(!asks(&desk, chain) && !asks(&desk, springs));
}

#[test]
fn what_stands_behind_a_guard_asks_who_locked_the_machine_out() {
    let mut desk = Desk::new();
    let line = desk.line;
    machine::acknowledge(&mut desk.session, line, true);
    let asks = |desk: &Desk| -> Vec<CheckItem> {
        let items = machine::view(&desk.session, line).unwrap().items;
        let asking = items.into_iter().filter(|item| !item.not_locked.is_empty());
        asking.map(|item| item.item).collect()
    };
    for (item, result) in [
        (CheckItem::Springs, CheckResult::Adjusted),
        (CheckItem::ChainOrBelt, CheckResult::NotLookedAt),
        (CheckItem::Brake, CheckResult::Adjusted),
    ] {
        machine::pick(&mut desk.session, line, item, result);
    }
    assert_eq!(asks(&desk), [CheckItem::Springs]);
    // Nobody puts a spring right from outside the guard, nor cleans a roller; the next step is the rep's.
    let findings = desk
        .session
        .book()
        .children::<Finding, _>(desk.visit)
        .unwrap();
    let who = |words: &str| {
        let found = findings.iter().find(|finding| finding.what.contains(words));
        found
            .unwrap_or_else(|| panic!("{words}: {findings:?}"))
            .who_may_act
    };
    assert_eq!(who("right by a technician, "), WhoMayAct::RepWithOperator);
    assert_eq!(who("right by hand, "), WhoMayAct::RepWithOperator);
    for (result, asking) in [
        (CheckResult::Good, vec![CheckItem::Springs]),
        (
            CheckResult::Adjusted,
            vec![CheckItem::RollerSurface, CheckItem::Springs],
        ),
    ] {
        machine::pick(&mut desk.session, line, CheckItem::RollerSurface, result);
        assert_eq!(asks(&desk), asking, "{result:?}");
    }
    machine::edit_isolated_by(&mut desk.session, line, "M. Olsen, maintenance");
    assert!(asks(&desk).is_empty());
}

fn a_sample(desk: Desk, until: Option<NaiveDate>) -> (Desk, Id<Sample>) {
    let (visit, load) = (desk.visit, desk.load);
    let mut id = None;
    let desk = desk.change_book(|book| {
        let done = book.act("keep", |act| {
            act.add(Sample {
                visit,
                load: Some(load),
                what: SampleKind::Pallet,
                place: "Row 7".to_owned(),
                retain_until: until,
                notes: String::new(),
            })
        });
        id = Some(done.unwrap().value.id);
    });
    (desk, id.unwrap())
}

#[test]
fn a_code_opens_its_sample_and_a_slip_is_told_in_a_sentence() {
    let (mut desk, id) = a_sample(Desk::new(), None);
    desk.session.go(Place::Find);
    let code = ShortCode::of(id).to_string();
    let last = code.chars().last().unwrap();
    let other = if last == '7' { '8' } else { '7' };
    let slip = format!("{}{other}", &code[..code.len() - 1]);
    find::look(&mut desk.session, &slip);
    let view = find::view(&desk.session).unwrap();
    assert!(
        view.code.error.starts_with(char::is_uppercase),
        "{}",
        view.code.error
    );
    assert!(view.code.error.ends_with('.'), "{}", view.code.error);
    assert_eq!(view.code.text, slip, "what was typed stays to be mended");
    let near: Vec<_> = view.found.lines.iter().map(|line| line.sample).collect();
    assert_eq!(near, [Some(id)], "the nearest is offered");

    find::look(&mut desk.session, &code.to_lowercase());
    assert_eq!(desk.session.here(), Place::Sample(id));
    let events = desk.session.book().children::<SampleEvent, _>(id).unwrap();
    assert_eq!(
        events.iter().map(|event| event.what).collect::<Vec<_>>(),
        [SampleEventKind::Found]
    );
}

#[test]
fn today_and_find_tell_alike_what_is_due() {
    let day = NaiveDate::from_ymd_opt(2026, 3, 1).unwrap();
    let (mut desk, id) = a_sample(Desk::new(), Some(day));
    let due = |desk: &Desk| {
        let listed = find::view(&desk.session).unwrap().due;
        let counted = sample::due(&desk.session).unwrap().len();
        assert_eq!(listed.len(), counted);
        counted
    };
    assert_eq!(due(&desk), 1);
    sample::note(&mut desk.session, id, SampleEventKind::Released);
    assert_eq!(due(&desk), 0, "released");
    sample::note(&mut desk.session, id, SampleEventKind::Labelled);
    assert_eq!(due(&desk), 1, "kept again by a new label");
    sample::keep_longer(&mut desk.session, id, 0, 1);
    assert_eq!(due(&desk), 0, "kept longer");
    let rows = keep::view(&desk.session, desk.visit).unwrap();
    assert_eq!(rows.len(), 1);
    assert_eq!(today::view(&desk.session).unwrap().visits.len(), 1);
}
