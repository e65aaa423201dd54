//! The card that stays at the machine: which way up the roll goes.

use super::content::{Content, Paragraph, Piece, Row};
use super::words::{self as said, names};
use super::{Made, Options, ReportError, finish};
use crate::analysis::loading::TACK_TEST;
use crate::book::Book;
use crate::dayfile::Watch;
use crate::say;
use crate::survey::{FilmRoll, Id, Line, Record, Setup, SetupRole, Visit};
use crate::words::loading::{way, way_up};
use crate::words::{Reader, Tone};

/// What a card is made for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CardOf {
    /// A line.
    Line(Id<Line>),
    /// A setup of a line, with its roll.
    Setup(Id<Setup>),
    /// The first line of a visit.
    Visit(Id<Visit>),
}

/// The roll-loading card of a line, on one page.
///
/// # Errors
/// As [`super::report()`]; [`ReportError::NoLine`] for a visit without one.
pub fn card(
    book: &Book,
    of: CardOf,
    options: Options,
    watch: &mut Watch<'_>,
) -> Result<Made, ReportError> {
    let (line, setup) = match of {
        CardOf::Setup(id) => {
            let setup = book.get(id)?;
            (book.get(setup.line)?, Some(setup))
        }
        CardOf::Line(id) => (book.get(id)?, last_setup(book, id)?),
        CardOf::Visit(id) => {
            let lines = book.children::<Line, _>(id)?;
            let line = lines.into_iter().next().ok_or(ReportError::NoLine)?;
            let setup = last_setup(book, line.id)?;
            (line, setup)
        }
    };
    let roll = setup.and_then(|setup| setup.film_roll);
    let roll = roll.map(|roll| book.get(roll)).transpose()?;
    let visit = book.get(line.visit)?;
    let content = content(&visit, &line, roll.as_ref(), options.reader);
    finish(book, &content, options.paper, watch)
}

/// The setup that is left running, else the last with a roll.
fn last_setup(book: &Book, line: Id<Line>) -> Result<Option<Record<Setup>>, ReportError> {
    let setups = book.children::<Setup, _>(line)?;
    let left = setups
        .iter()
        .rfind(|setup| setup.role == SetupRole::AsLeft && setup.film_roll.is_some());
    let any = setups.iter().rfind(|setup| setup.film_roll.is_some());
    Ok(left.or(any).cloned())
}

fn content(
    visit: &Record<Visit>,
    line: &Record<Line>,
    roll: Option<&Record<FilmRoll>>,
    to: Reader,
) -> Content {
    let l = to.language;
    let answer = way_up(roll, line, l);
    let wrapper = names::wrapper(line.wrapper.kind).said(l);
    let under = said::joined(
        [
            line.name.as_str(),
            wrapper,
            line.wrapper.make_model.as_str(),
        ],
        " \u{b7} ",
    );
    let mut pieces: Vec<(u8, Piece)> = vec![(
        0,
        Piece::Title {
            title: say!(l, "Loading the film roll"),
            under,
        },
    )];
    pieces.push((
        0,
        Paragraph::lead(answer.block.lead.clone(), answer.block.tone),
    ));
    if !answer.wrong.is_empty() {
        pieces.push((0, Paragraph::lead(answer.wrong.clone(), Some(Tone::Bad))));
    }
    let drawing = answer
        .drawing
        .unwrap_or_else(|| way(&line.wrapper, l).drawing);
    pieces.push((0, Piece::Poster(Box::new(drawing))));
    if let Some(roll) = roll {
        pieces.push((0, Paragraph::headed(say!(l, "Film:"), roll.name.clone())));
        let check = say!(l, "Check it at the machine:");
        pieces.push((0, Paragraph::headed(check, TACK_TEST.said(l))));
    }
    let rows: Vec<Row> = answer.block.facts.iter().map(Into::into).collect();
    if !rows.is_empty() {
        pieces.push((2, Piece::Facts(rows)));
    }
    if !answer.block.points.is_empty() {
        pieces.push((3, Piece::Points(answer.block.points)));
    }
    pieces.push((
        0,
        Piece::Paragraph(Paragraph {
            head: say!(l, "Caution:"),
            text: say!(
                l,
                "Film is threaded by the operator, with the machine stopped the way the site \
                 requires. No hand comes near a roller that can turn. Guards and interlocks stay in \
                 place. Behind a guard only a qualified technician works, with the machine isolated \
                 and locked out under the site\u{2019}s own procedure. Site rules and local law come \
                 first."
            ),
            tone: Some(Tone::Warning),
            ..Paragraph::default()
        }),
    ));
    let customer = said::joined([visit.customer.as_str(), visit.site.as_str()], ", ");
    let date = visit.date.to_string();
    Content {
        title: say!(l, "Loading the film roll: {line}", line = line.name),
        language: l,
        running: said::joined([customer.as_str(), &date], " \u{b7} "),
        page_of: said::page_of,
        summary: pieces,
        pieces: Vec::new(),
    }
}
