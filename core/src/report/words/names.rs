//! The names of what the record holds.

use crate::language::Word;
use crate::survey::{
    CheckItem, CheckResult, ClingSide, Face, FilmTail, FindingState, PreStretch, Purpose, Rotation,
    SampleKind, Seriousness, SetupRole, Stability, ToolKind, WhoMayAct, WrapperKind,
};
use crate::units::MethodId;
use crate::word;

pub(in crate::report) const fn purpose(purpose: Purpose) -> Word {
    match purpose {
        Purpose::Baseline => word!(ctx: "purpose", "Baseline"),
        Purpose::FollowUp => word!(ctx: "purpose", "Follow-up"),
        Purpose::Trial => word!(ctx: "purpose", "Trial of a film or setting"),
    }
}

pub(in crate::report) const fn role(role: SetupRole) -> Word {
    match role {
        SetupRole::AsFound => word!("As found"),
        SetupRole::Trial => word!(ctx: "setup", "Trial"),
        SetupRole::AsLeft => word!("As left"),
    }
}

pub(in crate::report) const fn wrapper(kind: WrapperKind) -> Word {
    match kind {
        WrapperKind::Turntable => word!("Turntable"),
        WrapperKind::RotatingArm => word!("Rotating arm"),
        WrapperKind::Ring => word!(ctx: "wrapper", "Ring"),
        WrapperKind::Other => word!(ctx: "wrapper", "Other"),
    }
}

pub(in crate::report) const fn pre_stretch(kind: PreStretch) -> Word {
    match kind {
        PreStretch::Powered => word!("powered pre-stretch"),
        PreStretch::Mechanical => word!("mechanical pre-stretch"),
        PreStretch::None => word!("no pre-stretch"),
    }
}

pub(in crate::report) const fn rotation(rotation: Rotation) -> Word {
    match rotation {
        Rotation::Clockwise => word!("clockwise"),
        Rotation::Anticlockwise => word!("anticlockwise"),
    }
}

pub(in crate::report) const fn stability(kind: Stability) -> Word {
    match kind {
        Stability::Steady => word!(ctx: "load", "steady"),
        Stability::Moderate => word!(ctx: "load", "fairly steady"),
        Stability::Unsteady => word!(ctx: "load", "unsteady"),
    }
}

pub(in crate::report) const fn tail(tail: FilmTail) -> Word {
    match tail {
        FilmTail::Secured => word!("end of film secured"),
        FilmTail::Loose => word!("end of film loose"),
    }
}

pub(in crate::report) const fn cling(side: ClingSide) -> Word {
    match side {
        ClingSide::Inside => word!("clings inside"),
        ClingSide::Outside => word!("clings outside"),
        ClingSide::Both => word!("clings on both sides"),
    }
}

pub(in crate::report) const fn face(face: Option<Face>) -> Word {
    match face {
        Some(Face::Front) => word!(ctx: "face", "Front"),
        Some(Face::Right) => word!(ctx: "face", "Right"),
        Some(Face::Back) => word!(ctx: "face", "Back"),
        Some(Face::Left) => word!(ctx: "face", "Left"),
        None => word!("Face not noted"),
    }
}

pub(in crate::report) const fn item(item: CheckItem) -> Word {
    match item {
        CheckItem::RollerLight => word!("Light between the rollers"),
        CheckItem::RollerGap => word!("Gap between the rollers"),
        CheckItem::RollerSurface => word!("Surface of the rollers"),
        CheckItem::ChainOrBelt => word!("Chain or belt"),
        CheckItem::SprocketsOrGears => word!("Sprockets or gears"),
        CheckItem::Springs => word!("Springs"),
        CheckItem::Brake => word!("Brake"),
        CheckItem::CarriageTravel => word!("Travel of the carriage"),
        CheckItem::FilmPath => word!("Path of the film"),
        CheckItem::ClampAndCutter => word!("Clamp and cutter"),
        CheckItem::FilmTail => word!("End of the film"),
    }
}

pub(in crate::report) const fn result(result: CheckResult) -> Word {
    match result {
        CheckResult::Good => word!(ctx: "check", "Good"),
        CheckResult::Adjusted => word!(ctx: "check", "Adjusted"),
        CheckResult::NeedsTechnician => word!("Needs a technician"),
        CheckResult::NotLookedAt => word!(ctx: "check", "Not looked at"),
    }
}

pub(in crate::report) const fn who(who: WhoMayAct) -> Word {
    match who {
        WhoMayAct::Operator => word!("The site\u{2019}s operator, at the panel"),
        WhoMayAct::RepWithOperator => {
            word!("The representative with the operator, guards closed")
        }
        WhoMayAct::Technician => word!("A qualified technician, machine isolated"),
    }
}

pub(in crate::report) const fn seriousness(seriousness: Seriousness) -> Word {
    match seriousness {
        Seriousness::Note => word!("Worth knowing"),
        Seriousness::Matters => word!("Matters"),
        Seriousness::Serious => word!("Serious"),
    }
}

pub(in crate::report) const fn state(state: FindingState) -> Word {
    match state {
        FindingState::Open => word!(ctx: "finding", "Open"),
        FindingState::Done => word!(ctx: "finding", "Done"),
        FindingState::Declined => word!(ctx: "finding", "Declined"),
    }
}

pub(in crate::report) const fn sample(kind: SampleKind) -> Word {
    match kind {
        SampleKind::Pallet => word!("Wrapped pallet"),
        SampleKind::CutFilm => word!("Cut film"),
        SampleKind::RollEnd => word!("End of a roll"),
    }
}

pub(in crate::report) const fn tool(kind: ToolKind) -> Word {
    match kind {
        ToolKind::TorsionTool => word!("Torsion tool"),
        ToolKind::PullPlate => word!("Pull plate"),
        ToolKind::FilmScale => word!("Film scale"),
        ToolKind::Micrometer => word!("Micrometer"),
        ToolKind::Tape => word!("Tape measure"),
    }
}

pub(in crate::report) const fn method(method: MethodId) -> Word {
    match method {
        MethodId::TorsionTool => word!("Torsion tool"),
        MethodId::PullPlate => word!("Pull plate"),
    }
}
