//! The forms of steps, defects and records, as they are when first opened.

use chrono::NaiveDate;

use super::desk::{Desk, SessionView};
use super::field::Field;
use super::form::Form;
use super::purpose::Purpose;
use crate::checklist::{EvidenceDemand, Severity};
use crate::event::{ControlCheck, Disposition, Outcome, StepResult};
use crate::plan::{Plan, PlanStep, PlannedReport};
use crate::signoff::statement;
use crate::state::{Answer, Defect, Standing, deferral_latest, deferral_objection};
use crate::vocabulary::kind_words;
use crate::words;
use crate::words::{of_checklist, said};

/// Offered for the side of a defect; it may stay open.
pub const SIDES: [&str; 4] = [mark!("left"), mark!("right"), mark!("both"), mark!("centre")];

pub const RESULTS: [StepResult; 3] = [StepResult::Passed, StepResult::Failed, StepResult::NotApplicable];

/// Words of the record, as they are shown.
pub(super) fn shown(words: &[&str]) -> Vec<String> {
    words.iter().map(|word| said(word).to_string()).collect()
}

pub(super) fn owned(words: &[&str]) -> Vec<String> {
    words.iter().map(|word| (*word).to_string()).collect()
}

pub fn note(step: Option<&PlanStep>) -> Form {
    let purpose = Purpose::Note { step: step.map(|step| step.step.id.clone()) };
    let about =
        step.map_or(say!("the session").to_string(), |step| of_checklist(&step.step.title).to_string());
    Form::new(purpose, say!("Note: {about}", about)).field(Field::text("text", say!("note"), ""))
}

/// A helper's initials. `wanted` is the answer that a person who may not accept asked for.
pub fn initial(step: &PlanStep, person: &str, wanted: Option<StepResult>) -> Form {
    let form = Form::new(
        Purpose::Initial { step: step.step.id.clone() },
        say!("Initials: {}", of_checklist(&step.step.title)),
    );
    let form = match wanted {
        Some(result) => form.intro(say!("\"{}\" is the certifier's word: {person} holds no valid authorisation for the annual of this type.", said(result.word()), person)),
        None => form,
    };
    form.intro(say!("{person} did this work; the certifier accepts it by answering the step.", person))
        .field(Field::text("work", say!("what was done and seen"), ""))
}

pub fn not_applicable(step: &PlanStep) -> Form {
    Form::new(
        Purpose::NotApplicable { step: step.step.id.clone() },
        say!("Not applicable: {}", of_checklist(&step.step.title)),
    )
    .intro(say!("Write why it does not apply to this airframe; the reason stands in the record."))
    .field(Field::text("reason", say!("reason"), ""))
}

pub fn correct_answer(step: &PlanStep, answer: &Answer, wanted: StepResult) -> Form {
    let at = RESULTS.iter().position(|result| *result == wanted).unwrap_or(0);
    Form::new(
        Purpose::CorrectAnswer { step: step.step.id.clone() },
        say!("Correct the answer: {}", of_checklist(&step.step.title)),
    )
    .intro(say!(
        "Answered \"{}\" by {} on {} (entry {}). It stays in the record, struck through.",
        said(answer.answered.result.word()),
        answer.stamp.by.name,
        answer.stamp.short(),
        answer.stamp.entry
    ))
    .field(Field::text("why", say!("why it is corrected"), ""))
    .field(Field::choice(
        "result",
        say!("the right answer"),
        RESULTS.map(|r| said(r.word()).to_string()).to_vec(),
        Some(at),
    ))
    .field(Field::text("reason", say!("reason (demanded for \"not applicable\")"), ""))
}

pub fn withdraw(entry: u64, what: &str) -> Form {
    Form::new(Purpose::Withdraw { entry }, say!("Take back entry {entry}", entry))
        .intro(say!("{what} stays in the record, struck through.", what))
        .field(Field::text("why", say!("why it is taken back"), ""))
}

/// `demands` are those of the step; a file may answer one of them or none.
/// `wanting` is the first demand of the step that is not met yet: the file most likely answers that one.
pub fn evidence(step: Option<&PlanStep>, defect: Option<&str>, wanting: Option<usize>) -> Form {
    let purpose = Purpose::Evidence {
        step: step.map(|step| step.step.id.clone()),
        defect: defect.map(ToString::to_string),
    };
    let about = step
        .map(|step| of_checklist(&step.step.title).to_string())
        .or(defect.map(|defect| say!("defect {defect}", defect)));
    let mut form = Form::new(purpose, say!("Evidence: {}", about.unwrap_or_default()))
        .intro(say!("The file is copied into the record and known by its content from then on."))
        .field(
            Field::text("path", say!("path of the file"), "")
                .hint(say!("a relative path counts from the hangar folder")),
        );
    if let Some(step) = step.filter(|step| !step.step.evidence.is_empty()) {
        let mut options: Vec<String> = step.step.evidence.iter().map(demand_words).collect();
        options.push(say!("none of them").to_string());
        form = form.field(Field::choice(
            "demand",
            say!("which demand it answers"),
            options,
            Some(wanting.unwrap_or(0)),
        ));
    }
    form
}

fn demand_words(demand: &EvidenceDemand) -> String {
    format!("{}: {}", said(demand.kind.word()), of_checklist(&demand.what))
}

/// From where the type of the open session counts its stations.
pub fn datum(desk: &dyn Desk) -> Option<String> {
    desk.session()?.plan.of_type.as_ref().map(|of_type| of_type.datum.clone())
}

/// `datum` tells from where the type counts its stations, where the plan knows the type.
pub fn defect(step: Option<&PlanStep>, datum: Option<&str>) -> Form {
    let purpose = Purpose::Defect { step: step.map(|step| step.step.id.clone()) };
    let mut form = match step {
        Some(step) => Form::new(purpose, say!("Defect found by: {}", of_checklist(&step.step.title))),
        None => Form::new(purpose, say!("Defect found outside the steps")),
    };
    let on_failure = step.and_then(|step| step.step.on_failure.as_ref());
    if let Some(hint) = on_failure.and_then(|failure| failure.hint.as_ref()) {
        form =
            form.intro(say!("What it usually means (a hint, no verdict): {hint}", hint = of_checklist(hint)));
    }
    let preset = on_failure.map_or(Severity::Major, |failure| failure.severity);
    let at = Severity::WORDS.iter().position(|(_, severity)| *severity == preset).unwrap_or(1);
    let severities = owned(&[
        say!("minor"),
        say!("major"),
        say!("grounding: affects airworthiness, the airframe stays on the ground"),
    ]);
    let from = datum
        .map_or(say!("the plan knows no type: say in words what it is counted from").to_string(), |datum| {
            say!("counted from: {datum}", datum = of_checklist(datum))
        });
    form.field(Field::text("what", say!("what is wrong"), ""))
        .field(Field::choice("severity", say!("severity"), severities, Some(at)))
        .field(
            Field::text("component", say!("component"), "").hint(say!("such as fin, left wing, tail boom")),
        )
        .field(Field::choice("side", say!("side"), shown(&SIDES), None))
        .field(Field::text("station", say!("station (mm from the type's datum)"), "").hint(from))
}

/// What the rules say of deferring this defect is told before it is chosen.
pub fn dispose(plan: &Plan, defect: &Defect, today: NaiveDate) -> Form {
    let objection = deferral_objection(plan, defect, None);
    let options = Disposition::WORDS.map(|(_, disposition)| match disposition {
        Disposition::Rectify => say!("rectify: put right now, then inspect again"),
        Disposition::Refer => say!("refer: to a repairer; the airframe stays on the ground"),
        Disposition::Defer if objection.is_some() => say!("defer: NOT allowed here, see above"),
        Disposition::Defer => say!("defer: leave it until a date, where the rules allow"),
        Disposition::NotAirworthy => say!("not airworthy: the airframe is grounded"),
    });
    let mut form = Form::new(Purpose::Dispose { defect: defect.id.clone() }, say!("Decide on {}", defect.id))
        .intro(defect.raised.what.clone());
    if let Some(told) = defect.record_words(today) {
        form = form.intro(told);
    }
    let latest = deferral_latest(plan, defect);
    form = match (&objection, latest) {
        (Some(objection), _) => form.intro(say!("No deferral: it {}.", objection.why)),
        (None, Some(latest)) if latest <= today => form.intro(say!(
            "No deferral: the airframe's rules allowed one until {latest}, counted from its first finding.",
            latest = words::date(latest)
        )),
        (None, Some(latest)) => form.intro(say!(
            "A deferral ends on {latest} at the latest: the airframe's rules count from its first finding.",
            latest = words::date(latest)
        )),
        (None, None) => form,
    };
    form.field(Field::choice("disposition", say!("what becomes of it"), owned(&options), None))
        .field(Field::text("until", say!("until (for a deferral), as 2026-11-25"), ""))
        .field(Field::text("note", say!("note"), ""))
}

pub fn rectify(defect: &Defect) -> Form {
    Form::new(Purpose::Rectify { defect: defect.id.clone() }, say!("Rectification of {}", defect.id))
        .intro(defect.raised.what.clone())
        .field(Field::text("work", say!("what was done, by which data"), ""))
        .field(
            Field::choice(
                "controls",
                say!("a flight-control connection was disturbed"),
                owned(&[say!("no"), say!("yes: a second person must inspect it")]),
                None,
            )
            .hint(say!("if yes, the independent inspection is demanded before sign-off")),
        )
}

pub fn reinspect(defect: &Defect) -> Form {
    Form::new(Purpose::Reinspect { defect: defect.id.clone() }, say!("Re-inspection of {}", defect.id))
        .intro(defect.raised.what.clone())
        .field(Field::text("note", say!("what was looked at and what was seen"), ""))
        .field(satisfactory())
}

fn satisfactory() -> Field {
    Field::choice(
        "satisfactory",
        say!("result"),
        owned(&[say!("satisfactory"), say!("not satisfactory")]),
        None,
    )
}

pub fn set_aside(report: &PlannedReport) -> Form {
    Form::new(
        Purpose::SetAside { report: report.id.clone() },
        say!("Set aside: {} of {}", kind_words(&report.kind), words::date(report.date)),
    )
    .caution(Some(
        say!("setting a report aside may leave damage unfound; it is the certifier's decision").to_string(),
    ))
    .intro(format!("{} ({})", say!("\"{}\"", report.text), report.by))
    .intro(if report.modules.is_empty() {
        say!("No module of the checklists answers it.")
    } else {
        say!("The steps that it selected stay in the plan, mandatory as before.")
    })
    .field(Field::text("reason", say!("why no targeted look is needed"), ""))
}

pub fn inspect(step: &PlanStep) -> Form {
    Form::new(
        Purpose::Inspect { step: step.step.id.clone() },
        say!("Independent inspection: {}", of_checklist(&step.step.title)),
    )
    .intro(say!(
        "By a second person who did not do the work. Press w first if another person takes over the keys."
    ))
    .field(Field::text("connections", say!("which connections"), ""))
    .field(
        Field::ticks(
            "checked",
            say!("what was checked"),
            ControlCheck::ALL.map(|c| said(c.word()).to_string()).to_vec(),
        )
        .hint(say!("digits tick and untick")),
    )
    .field(satisfactory())
    .field(Field::secret("passphrase", say!("passphrase of your key: it signs what you inspected")))
}

pub fn pause() -> Form {
    Form::new(Purpose::Pause, say!("Pause the session"))
        .intro(say!("Nothing is recorded until it is resumed."))
        .field(Field::text("note", say!("note (may stay empty)"), ""))
}

pub fn search(last: &str) -> Form {
    let label =
        if last.is_empty() { say!("text").to_string() } else { say!("text (empty: \"{last}\" again)", last) };
    Form::new(Purpose::Search, say!("Search the steps, notes, answers, evidence and defects"))
        .field(Field::text("text", label, ""))
}

pub fn search_record(last: &str) -> Form {
    let label =
        if last.is_empty() { say!("text").to_string() } else { say!("text (empty: \"{last}\" again)", last) };
    Form::new(Purpose::Search, say!("Search the record"))
        .intro(say!("In the words of the entries, in steps, people and instruments."))
        .field(Field::text("text", label, ""))
}

pub fn to_entry(last: usize) -> Form {
    Form::new(Purpose::ToEntry, say!("Go to an entry")).field(Field::text(
        "text",
        say!("number, 0 to {last}", last),
        "",
    ))
}

pub fn to_step() -> Form {
    Form::new(Purpose::ToStep, say!("Go to a step: all that happened to it")).field(Field::text(
        "text",
        say!("its id, or words of its title"),
        "",
    ))
}

pub fn sign(desk: &dyn Desk, view: &SessionView<'_>, outcome: Outcome) -> Form {
    let registration = &view.plan.airframe.registration;
    let signer = desk.person().map_or(say!("nobody"), |person| person.name.as_str());
    let mut form = Form::new(Purpose::Sign(outcome), say!("Sign: {}", said(outcome.word())))
        .intro(say!("{signer} signs for {registration}:", signer, registration))
        .intro(format!("“{}”", statement(outcome, desk.today())));
    if outcome == Outcome::NotAirworthy {
        for item in view.verdict.discrepancies() {
            form = form.intro(format!("· {}: {}", item.from, item.text));
        }
    }
    // Whoever releases sees with what the airframe goes.
    for defect in view.state.standing_defects() {
        if let Some(until) = defect.deferred_until().filter(|_| defect.standing() == Standing::Deferred) {
            form = form.intro(say!(
                "· {} deferred until {until}: {}",
                defect.id,
                defect.raised.what,
                until = words::date(until)
            ));
        }
    }
    form.intro(say!("Nothing can be recorded in this session afterwards."))
        .field(Field::text(
            "confirm",
            say!("type the registration to sign: {registration}", registration),
            "",
        ))
        .field(Field::secret("passphrase", say!("passphrase of the key of {signer}", signer)))
}

/// A second person adds a signature to a signed session.
pub fn countersign(desk: &dyn Desk, view: &SessionView<'_>) -> Form {
    let person = desk.person().map_or(say!("nobody"), |person| person.name.as_str());
    let mut form = Form::new(Purpose::Countersign, say!("Countersign the sign-off"));
    if let Some(told) = &view.state.signed {
        form = form.intro(say!(
            "Signed by {} on {}: {}.",
            told.what.by.name,
            told.stamp.short(),
            said(told.what.outcome.word())
        ));
    }
    form.intro(say!(
        "{person} adds a second signature. Press w first if another person takes over the keys.",
        person
    ))
    .field(Field::choice(
        "agrees",
        say!("you"),
        owned(&[say!("agree"), say!("have seen it and do not agree")]),
        None,
    ))
    .field(Field::text("note", say!("note (demanded when you do not agree)"), ""))
    .field(Field::secret("passphrase", say!("passphrase of the key of {person}", person)))
}

/// A correction after signing: the signed session stays as it is.
pub fn continue_session() -> Form {
    Form::new(Purpose::Continue, say!("Continue in a new session"))
        .intro(say!("The session at hand is never changed. A new one begins where it ended: everything that holds is carried over, can be corrected, and has to be signed again. Both show that they belong together."))
        .field(Field::text("reason", say!("why it is continued"), ""))
}

pub fn rescue() -> Form {
    Form::new(Purpose::Rescue, say!("Rescue copy"))
        .intro(say!("Everything of this session, with an answer that could not be saved, is copied into a new folder and read back."))
        .intro(say!("The copy is a hangar folder of its own: spanwise --hangar FOLDER opens it. Nothing is changed here."))
        .field(
            Field::text("folder", say!("new folder"), "")
                .hint(say!("on another disk, such as a memory stick; what does not exist yet is made")),
        )
}
