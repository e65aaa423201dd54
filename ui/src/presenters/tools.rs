//! Tools: the rep's hand tools and scales, when each was zeroed and checked, and which is in hand.

use tautbook_core::book::{ActionKey, BookError};
use tautbook_core::say;
use tautbook_core::survey::{Id, Moment, Record, SetAside, Tool, ToolKind};
use tautbook_core::units::{parse_count, parse_force, parse_length, parse_mass, parse_thickness};
use tautbook_core::words::dates::short_time;

use super::caution::day;
use super::{next_name, written};
use crate::place::Place;
use crate::session::{Entry, FieldError, Notice, NoticeAct, Session, Tone, optional};

/// The kinds, in the order they are offered.
pub const KINDS: [ToolKind; 5] = [
    ToolKind::TorsionTool,
    ToolKind::PullPlate,
    ToolKind::FilmScale,
    ToolKind::Micrometer,
    ToolKind::Tape,
];

/// Days a check is good for until the rep says otherwise (ours: common practice, no source).
pub const GOOD_FOR_DAYS: u32 = 30;

/// The fields of a tool.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Field {
    /// Its name or serial number.
    Name,
    /// Its smallest step.
    Step,
    /// The most it shows.
    Range,
    /// Its lever arm.
    Lever,
    /// How many days a check is good for.
    Days,
    /// Anything else, such as what the check showed.
    Notes,
}

impl Field {
    const ALL: [Self; 6] = [
        Self::Name,
        Self::Step,
        Self::Range,
        Self::Lever,
        Self::Days,
        Self::Notes,
    ];

    fn key(self, id: Id<Tool>) -> String {
        format!("{self:?} {id}")
    }
}

/// One tool.
#[derive(Debug, Clone, PartialEq)]
pub struct ToolRow {
    /// Which.
    pub id: Id<Tool>,
    /// What it is.
    pub kind: ToolKind,
    /// What stands in its fields, in their order.
    pub fields: [Entry; 6],
    /// When it was zeroed and checked, in words.
    pub state: String,
    /// What is the matter with it; blank when nothing is.
    pub stale: String,
    /// It is the one that readings are taken with.
    pub in_hand: bool,
}

/// So many are shown at a time. In the largest words on a sharp screen more would be longer than can be drawn
/// (32767 pixels).
const SHOWN: usize = 10;

/// Which of the tools are shown.
#[derive(Debug, Default)]
pub(crate) struct Shown {
    /// In what order, as it was on opening.
    order: Vec<Id<Tool>>,
    page: usize,
}

/// What the screen shows.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// Some of the tools, kind by kind: at first those in hand, and those that were zeroed, checked or added
    /// last.
    pub tools: Vec<ToolRow>,
    /// How many there are.
    pub all: usize,
}

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session) -> Result<View, BookError> {
    let ByUse { mut tools, in_hand } = by_use(session)?;
    // Where each was on opening: none leaves its page for having been zeroed. One that is new comes first.
    tools.sort_by_key(|tool| session.tools.order.iter().position(|id| *id == tool.id));
    let all = tools.len();
    // One may have been set aside since the page was turned.
    let first = session.tools.page % all.div_ceil(SHOWN).max(1) * SHOWN;
    tools = tools.into_iter().skip(first).take(SHOWN).collect();
    tools.sort_by_key(|tool| (KINDS.iter().position(|kind| *kind == tool.kind), tool.id));
    let rows = tools
        .iter()
        .map(|tool| row(session, tool, in_hand.contains(&tool.id)));
    Ok(View {
        tools: rows.collect(),
        all,
    })
}

/// All tools in the order in which they are looked for, and which are in hand.
struct ByUse {
    /// Those in hand, and then those that were zeroed, checked or added last.
    tools: Vec<Record<Tool>>,
    in_hand: Vec<Id<Tool>>,
}

fn by_use(session: &Session) -> Result<ByUse, BookError> {
    let mut tools = session.book().all::<Tool>()?;
    let mut in_hand = Vec::new();
    for kind in KINDS {
        in_hand.extend(place_in_hand(session, &tools, kind)?.map(|at| tools[at].id));
    }
    tools.sort_by_key(|tool| {
        let times = [tool.zeroed_at, tool.checked_at, Some(tool.created)];
        let used = times.into_iter().flatten().map(Moment::unix_ms).max();
        (
            !in_hand.contains(&tool.id),
            std::cmp::Reverse((used, tool.id)),
        )
    });
    Ok(ByUse { tools, in_hand })
}

fn row(session: &Session, tool: &Record<Tool>, in_hand: bool) -> ToolRow {
    let units = session.units();
    let days = tool.check_good_for_days.map(|days| days.to_string());
    let (step, range, hint) = match tool.kind {
        ToolKind::TorsionTool | ToolKind::PullPlate => (
            written(tool.force_step.as_ref()),
            written(tool.force_range.as_ref()),
            units.force.symbol(),
        ),
        ToolKind::FilmScale => (
            written(tool.mass_step.as_ref()),
            written(tool.mass_range.as_ref()),
            units.mass.symbol(),
        ),
        ToolKind::Micrometer | ToolKind::Tape => (
            written(tool.thickness_step.as_ref()),
            "",
            units.thickness.symbol(),
        ),
    };
    let fields = Field::ALL.map(|field| {
        let (kept, hint) = match field {
            Field::Name => (tool.name.as_str(), ""),
            Field::Step => (step, hint),
            Field::Range => (range, hint),
            Field::Lever => (written(tool.lever_arm.as_ref()), units.length.symbol()),
            Field::Days => (days.as_deref().unwrap_or_default(), ""),
            Field::Notes => (tool.notes.as_str(), ""),
        };
        session.entry(&field.key(tool.id), kept, hint)
    });
    ToolRow {
        id: tool.id,
        kind: tool.kind,
        fields,
        state: state(session, tool),
        stale: stale(session, tool),
        in_hand,
    }
}

fn state(session: &Session, tool: &Tool) -> String {
    let l = session.language();
    let when = |at: Option<Moment>| {
        at.map_or_else(|| say!(l, "not noted"), |at| short_time(&at.date_time(), l))
    };
    if tool.kind == ToolKind::Tape {
        return say!(l, "Checked: {checked}.", checked = when(tool.checked_at));
    }
    say!(
        l,
        "Zeroed: {zeroed}. Checked: {checked}.",
        zeroed = when(tool.zeroed_at),
        checked = when(tool.checked_at)
    )
}

/// What is the matter with a tool now, in a few words; blank when nothing is.
#[must_use]
pub fn stale(session: &Session, tool: &Tool) -> String {
    let l = session.language();
    let now = session.book().now();
    let zeroed = is_zeroed_today(session, tool);
    let overdue = tool.check_overdue(now) == Some(true);
    match (overdue, zeroed) {
        (false, true) => String::new(),
        (true, true) if tool.checked_at.is_none() => say!(l, "Not checked yet."),
        (true, false) if tool.checked_at.is_none() => {
            say!(l, "Not checked yet, not zeroed today.")
        }
        (true, true) => say!(l, "Past its check."),
        (false, false) => say!(l, "Not zeroed today."),
        (true, false) => say!(l, "Past its check, not zeroed today."),
    }
}

/// A tape is not zeroed.
fn is_zeroed_today(session: &Session, tool: &Tool) -> bool {
    let now = session.book().now();
    tool.kind == ToolKind::Tape || tool.zeroed_at.is_some_and(|at| day(at) == day(now))
}

/// What matters most of it, where there is room for that alone: what is not zeroed reads wrong at once.
fn stale_most(session: &Session, tool: &Tool) -> String {
    if is_zeroed_today(session, tool) {
        stale(session, tool)
    } else {
        say!(session.language(), "Not zeroed today.")
    }
}

/// Where the tool in hand is remembered.
fn key(kind: ToolKind) -> String {
    format!("in_hand {kind:?}")
}

/// The tool in hand: the one chosen, or else the only one of its kind. With several and none
/// chosen nobody can say which it was, and what is measured names none.
///
/// # Errors
/// The store's errors.
pub fn in_hand(session: &Session, kind: ToolKind) -> Result<Option<Record<Tool>>, BookError> {
    let mut tools = session.book().all::<Tool>()?;
    let at = place_in_hand(session, &tools, kind)?;
    Ok(at.map(|at| tools.swap_remove(at)))
}

/// The tool that what is measured will name, as it is shown where that is done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Used {
    /// Its name; blank where nobody can say which of several it is.
    pub name: String,
    /// When it was zeroed and checked, in words.
    pub state: String,
    /// What is the matter with it, or that one of several is to be chosen; blank when nothing is.
    pub stale: String,
    /// The most of that, in a word or three.
    pub most: String,
}

impl Used {
    /// Nobody can say which of several it is.
    #[must_use]
    pub fn is_to_be_chosen(&self) -> bool {
        self.name.is_empty()
    }
}

/// The tool of a kind that is in hand, in words; `None` where there is none of it.
///
/// # Errors
/// The store's errors.
pub(super) fn used(session: &Session, kind: ToolKind) -> Result<Option<Used>, BookError> {
    let tools = session.book().all::<Tool>()?;
    if let Some(at) = place_in_hand(session, &tools, kind)? {
        let tool = &tools[at];
        return Ok(Some(Used {
            name: tool.name.clone(),
            state: state(session, tool),
            stale: stale(session, tool),
            most: stale_most(session, tool),
        }));
    }
    let several = tools.iter().any(|tool| tool.kind == kind);
    Ok(several.then(|| Used {
        name: String::new(),
        state: String::new(),
        stale: say!(
            session.language(),
            "Which tool is in your hand? Press here to say so."
        ),
        most: say!(session.language(), "No tool is named."),
    }))
}

/// Where among the tools the one in hand stands.
fn place_in_hand(
    session: &Session,
    tools: &[Record<Tool>],
    kind: ToolKind,
) -> Result<Option<usize>, BookError> {
    let chosen = session.book().state(&key(kind))?.unwrap_or_default();
    let of_kind = || (0..tools.len()).filter(|at| tools[*at].kind == kind);
    let only = || of_kind().next().filter(|_| of_kind().count() == 1);
    Ok(of_kind()
        .find(|at| tools[*at].id.to_string() == chosen)
        .or_else(only))
}

/// Opens the tools.
pub fn open(session: &mut Session) {
    let order = by_use(session).map(|by_use| by_use.tools.iter().map(|tool| tool.id).collect());
    if let Some(order) = session.report(order) {
        session.tools = Shown { order, page: 0 };
    }
    session.go(Place::Tools);
}

/// Shows others of the tools, and after the last of them the first again.
pub fn show_others(session: &mut Session) {
    session.tools.page += 1;
}

/// A kind, in the session's language.
#[must_use]
pub fn kind_name(session: &Session, kind: ToolKind) -> String {
    let l = session.language();
    match kind {
        ToolKind::TorsionTool => say!(l, "Torsion tool"),
        ToolKind::PullPlate => say!(l, "Pull plate"),
        ToolKind::FilmScale => say!(l, "Film scale"),
        ToolKind::Micrometer => say!(l, "Micrometer"),
        ToolKind::Tape => say!(l, "Tape measure"),
    }
}

/// Adds a tool of a kind.
pub fn add(session: &mut Session, kind: ToolKind) {
    let tools = session.book.all::<Tool>();
    let Some(tools) = session.report(tools) else {
        return;
    };
    let word = kind_name(session, kind);
    let name = next_name(
        |n| say!(session.language(), "{tool} {n}", tool = word, n = n),
        tools.iter().map(|tool| tool.name.as_str()),
    );
    let tool = Tool {
        check_good_for_days: Some(GOOD_FOR_DAYS).filter(|_| kind != ToolKind::Tape),
        ..Tool::new(kind, name)
    };
    session.add("add_tool", tool);
    session.tools.page = 0;
}

/// Notes that a tool was zeroed just now.
pub fn zero(session: &mut Session, id: Id<Tool>) {
    let done = session.book.act("zero_tool", |act| {
        let now = act.now();
        act.change(id, |tool: &mut Tool| tool.zeroed_at = Some(now))
    });
    if let Some(done) = session.report(done) {
        let name = &done.value.name;
        let text = say!(session.language(), "{name}: zeroing noted.", name = name);
        say_noted(session, text, done.action);
    }
}

/// Says that a time was noted, and offers to take it back: the one before it is wanted after a slip.
fn say_noted(session: &mut Session, text: String, action: Option<ActionKey>) {
    session.say(Notice {
        tone: Tone::Good,
        text,
        act: action.map(NoticeAct::Undo),
    });
}

/// Notes that a tool was checked against a known weight just now.
pub fn check(session: &mut Session, id: Id<Tool>) {
    let done = session.book.act("check_tool", |act| {
        let now = act.now();
        act.change(id, |tool: &mut Tool| tool.checked_at = Some(now))
    });
    if let Some(done) = session.report(done) {
        let name = &done.value.name;
        let text = say!(session.language(), "{name}: check noted.", name = name);
        say_noted(session, text, done.action);
    }
}

/// Takes a tool in hand: readings name it from now on.
pub fn take(session: &mut Session, id: Id<Tool>) {
    let kept = session
        .book
        .get(id)
        .and_then(|tool| session.book.set_state(&key(tool.kind), &id.to_string()));
    session.report(kept);
}

/// Sets a tool aside.
pub fn ask_set_aside(session: &mut Session, id: Id<Tool>) {
    let tool = session.book.get(id);
    let Some(tool) = session.report(tool) else {
        return;
    };
    let done = session.book.set_aside(tool.reference(), SetAside::BY_HAND);
    if let Some(done) = session.report(done) {
        let text = say!(
            session.language(),
            "{name} set aside. Its readings keep it.",
            name = tool.name
        );
        session.say(Notice {
            tone: Tone::Info,
            text,
            act: done.action.map(NoticeAct::Undo),
        });
    }
}

/// Notes what stands half typed.
pub fn draft(session: &mut Session, id: Id<Tool>, field: Field, text: &str) {
    session.draft(&field.key(id), text);
}

/// Keeps what was typed.
pub fn edit(session: &mut Session, id: Id<Tool>, field: Field, text: &str) {
    session.settle(&field.key(id), text, |session, text| {
        let kind = session.book.get(id)?.kind;
        keep(session, id, kind, field, text)
    });
}

fn keep(
    session: &mut Session,
    id: Id<Tool>,
    kind: ToolKind,
    field: Field,
    text: &str,
) -> Result<(), FieldError> {
    let units = session.units();
    let words = text.trim().to_owned();
    match field {
        Field::Name => session.change("edit_tool", id, |tool| tool.name = words),
        Field::Notes => session.change("edit_tool", id, |tool| tool.notes = words),
        Field::Days => {
            let days = optional(parse_count(text, units.decimal))?;
            session.change("edit_tool", id, |tool| tool.check_good_for_days = days)
        }
        Field::Lever => {
            let arm = optional(parse_length(text, &units.length_typing()))?;
            session.change("edit_tool", id, |tool| tool.lever_arm = arm)
        }
        Field::Step | Field::Range => match kind {
            ToolKind::TorsionTool | ToolKind::PullPlate => {
                let force = optional(parse_force(text, &units.force_typing()))?;
                session.change("edit_tool", id, |tool| match field {
                    Field::Step => tool.force_step = force,
                    _ => tool.force_range = force,
                })
            }
            ToolKind::FilmScale => {
                let mass = optional(parse_mass(text, &units.mass_typing()))?;
                session.change("edit_tool", id, |tool| match field {
                    Field::Step => tool.mass_step = mass,
                    _ => tool.mass_range = mass,
                })
            }
            ToolKind::Micrometer | ToolKind::Tape => {
                let step = optional(parse_thickness(text, &units.thickness_typing()))?;
                session.change("edit_tool", id, |tool| tool.thickness_step = step)
            }
        },
    }
}

/// Tries to keep whatever stands half typed, before the person goes on.
pub fn settle(session: &mut Session) {
    let tools = session.book.all::<Tool>();
    for tool in session.report(tools).unwrap_or_default() {
        for field in Field::ALL {
            if let Some(text) = session.unsettled(&field.key(tool.id)) {
                edit(session, tool.id, field, &text);
            }
        }
    }
}
