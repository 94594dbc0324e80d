//! `coverage`: which steps answer which rule, and what nothing answers.

use std::fmt::Write as _;

use clap::Args;

use super::output::{Failure, Output, exit};
use crate::checklist::Checklist;
use crate::coverage::{Coverage, Standing, Subject, cover, lists};
use crate::diagnostic::Source;
use crate::hangar::{Hangar, HangarError, PROGRAMME, Viewing, find_edition, find_session, preview};
use crate::plan::Plan;
use crate::words::{Language, of_checklist, said, with_language};

#[derive(Debug, Args)]
#[command(after_help = HELP)]
pub struct CoverageArgs {
    /// A registration for the plan that an annual would get, or a session for its frozen plan; the programme by default.
    #[arg(value_name = "REGISTRATION or SESSION", conflicts_with = "checklist")]
    pub of: Option<String>,
    /// A checklist by itself: id, id@version or a file.
    #[arg(long, value_name = "ID")]
    pub checklist: Option<String>,
    #[arg(long)]
    pub json: bool,
    /// One line for each rule and step.
    #[arg(long, conflicts_with = "json")]
    pub csv: bool,
}

const HELP: &str = "\
The lists are paraphrased and some of their rows are from memory: each row says how far it was compared with a text. They are
no legal text, and no proof that a rule is met.

Exit codes: 0 nothing that applies is without a mandatory step; 3 something is; 1 it cannot be read.

Example:
  spanwise coverage XX-VA7
  spanwise coverage --checklist composite-sailplane --csv > matrix.csv";

pub(super) fn coverage(hangar: &Hangar, args: &CoverageArgs, out: &mut Output) -> Result<u8, Failure> {
    let (title, subject, is_whole_annual) = subject(hangar, args)?;
    let lists = lists().map_err(Failure::failed)?;
    let coverage = cover(&lists, &subject);
    if args.json {
        out.json(&serde_json::json!({ "of": title, "whole": coverage.is_whole(), "coverage": coverage }));
    } else if args.csv {
        out.text(&csv(&coverage).map_err(Failure::failed)?);
    } else {
        out.text(&text(&title, &coverage));
    }
    // A module or supplement by itself answers what it is for.
    Ok(if coverage.is_whole() || !is_whole_annual { exit::DONE } else { exit::REFUSED })
}

fn subject(hangar: &Hangar, args: &CoverageArgs) -> Result<(String, Subject, bool), Failure> {
    let Some(of) = &args.of else {
        let name = args.checklist.as_deref().unwrap_or(PROGRAMME);
        let checklist = find_edition(hangar, name)?;
        let (kind, id, version) = (checklist.kind.word(), &checklist.id.value, &checklist.version.value);
        let is_whole = matches!(checklist.kind, crate::checklist::Kind::Programme);
        return Ok((format!("{} {id} {version}", said(kind)), Subject::of_checklist(&checklist), is_whole));
    };
    let is_airframe = hangar.airframes.iter().any(|file| file.name().eq_ignore_ascii_case(of));
    let (title, plan) = if is_airframe {
        let plan = preview(hangar, of)?;
        (say!("the plan that {} would get", plan.airframe.registration), plan)
    } else {
        let sid = find_session(hangar, of).map_err(|error| match error {
            HangarError::NotFound { .. } => HangarError::not_found(
                say!("there is neither an airframe nor a session \"{of}\"", of),
                say!("what there is: spanwise list; a checklist: spanwise coverage --checklist ID"),
            ),
            other => other,
        })?;
        let plan = Viewing::open(hangar, &sid)?.plan;
        (say!("session {sid} of {}", plan.airframe.registration, sid), plan)
    };
    let editions = editions_of(hangar, &plan);
    let editions: Vec<&Checklist> = editions.iter().map(AsRef::as_ref).collect();
    Ok((title, Subject::of_plan(&plan, &editions), true))
}

/// The editions of a plan that are at hand with the very bytes it was made from.
fn editions_of(hangar: &Hangar, plan: &Plan) -> Vec<std::sync::Arc<Checklist>> {
    let hash = |source: &Source| crate::edition::file_hash(&source.text);
    plan.editions
        .iter()
        .filter_map(|edition| {
            let version = semver::Version::parse(&edition.version).ok()?;
            let found = hangar.library().edition(&edition.id, &version)?;
            (hash(&found.source) == edition.sha256).then(|| found.clone())
        })
        .collect()
}

fn text(title: &str, coverage: &Coverage) -> String {
    let mut out = format!("{}\n", say!("Coverage of {title}", title));
    let mut list = "";
    for rule in &coverage.rules {
        if rule.list != list {
            list = rule.list;
            let _ = writeln!(out, "\n{}", said(list));
        }
        let fitted = match (rule.rule.applies, rule.standing) {
            (crate::coverage::Applies::IfFitted, Standing::Covered | Standing::OptionalOnly) => {
                say!(", only if fitted")
            }
            _ => "",
        };
        let (id, row) = (&rule.rule.id, &rule.rule);
        let _ = writeln!(
            out,
            "  {id:<12} {}{fitted} [{}]",
            said(rule.standing.words()),
            said(row.compared.words())
        );
        let _ = writeln!(out, "      {}", said(&row.item));
        for answer in &rule.answers {
            let why = match (&answer.left_out, &answer.source) {
                (Some(left_out), _) => format!("  ({})", left_out.words()),
                (None, Some(source)) => format!("  ({source})"),
                (None, None) => String::new(),
            };
            let mark = if answer.left_out.is_some() { "-" } else { "+" };
            let optional = if answer.mandatory { "" } else { say!(", optional") };
            let _ =
                writeln!(out, "      {mark} {}{optional}: {}{why}", answer.step, of_checklist(&answer.title));
        }
    }
    if !coverage.beyond.is_empty() {
        let _ = writeln!(out, "\n{}", say!("Other rules that steps name"));
        for (rule, steps) in &coverage.beyond {
            let _ = writeln!(out, "  {}: {}", of_checklist(rule), steps.join(", "));
        }
    }
    out.push_str(&summary(coverage));
    out
}

fn summary(coverage: &Coverage) -> String {
    let mut out = String::from("\n");
    for standing in [
        Standing::Covered,
        Standing::OptionalOnly,
        Standing::NotFitted,
        Standing::Withdrawn,
        Standing::LeftOut,
        Standing::NotCovered,
        Standing::DoesNotApply,
    ] {
        let ids: Vec<&str> = coverage.of_standing(standing).map(|rule| rule.rule.id.as_str()).collect();
        let named = match standing {
            Standing::Covered | Standing::DoesNotApply => String::new(),
            _ if ids.is_empty() => String::new(),
            _ => format!(": {}", ids.join(", ")),
        };
        if !ids.is_empty() || standing == Standing::NotCovered {
            let _ = writeln!(out, "{:>4} {}{named}", ids.len(), said(standing.words()));
        }
    }
    let memory = coverage.rules.iter().filter(|rule| rule.rule.compared.is_from_memory()).count();
    let _ = writeln!(
        out,
        "{}",
        say!(
            "{memory} of {} rows are from memory. Compare the lists with the texts in force before relying on them.",
            coverage.rules.len(),
            memory
        )
    );
    out
}

fn csv(coverage: &Coverage) -> Result<String, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record([
        "list",
        "rule",
        "item",
        "applies",
        "text",
        "standing",
        "step",
        "title",
        "mandatory",
        "source",
        "left out",
    ])?;
    for rule in &coverage.rules {
        let head = [
            rule.list,
            &rule.rule.id,
            &rule.rule.item,
            rule.rule.applies.words(),
            rule.rule.compared.words(),
            rule.standing.words(),
        ];
        if rule.answers.is_empty() {
            writer.write_record(head.into_iter().chain(["", "", "", "", ""]))?;
        }
        for answer in &rule.answers {
            let left_out =
                answer.left_out.as_ref().map(|why| with_language(Language::English, || why.words()));
            let left_out = left_out.unwrap_or_default();
            let tail = [
                answer.step.as_str(),
                &answer.title,
                if answer.mandatory { "yes" } else { "no" },
                answer.source.as_deref().unwrap_or_default(),
                &left_out,
            ];
            writer.write_record(head.into_iter().chain(tail))?;
        }
    }
    let bytes = writer.into_inner().map_err(|error| error.into_error())?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
