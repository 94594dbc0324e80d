//! `demo --walkthrough`: a whole annual of the glider with the soft fin, by the program's own commands.
//!
//! Each stage prints the command as a person would type it, and what the program answered. A command that
//! does not end as the story demands stops the walk with an error, so that it doubles as a check.

use std::cell::OnceCell;
use std::path::Path;

use clap::Parser;

use super::args::Cli;
use super::demo::{INSPECTOR, SECOND, paper_table, ready};
use super::dispatch;
use super::output::{Failure, Output, exit};
use super::routine::Crew;
use crate::hangar::{Hangar, Work, find_session};
use crate::store::unpack::write_file;
use crate::words::said;

const GLIDER: &str = "XX-VA7";
const FLEX: &str = "fin-root.flex-tailplane-off";
const CAMERA: &str = "fin-root.camera-left";
const MODULE: &str = "fin-root";
/// Steps that put the glider together again: after the fin is dealt with.
const CLOSING: &str = "reassembly.";

/// Longer answers are cut for the walk; the commands themselves print all.
const LINES_SHOWN: usize = 24;

/// Works the annual in `folder`, a fresh copy of the invented hangar, and leaves the session there.
pub(super) fn walk(folder: &Path, out: &mut Output) -> Result<u8, Failure> {
    let mut story = Story { folder, out };
    story
        .out
        .line(say!("Everything in this walkthrough is invented: people, types, registrations, figures."));
    story.reports()?;
    story.begin()?;
    story.papers()?;
    story.routine()?;
    story.flex()?;
    story.camera()?;
    story.refused()?;
    story.rectified()?;
    story.released()?;
    story.carried_forward()?;
    story.out.line(&format!("\n{}", say!("The session stays in {}", folder.display())));
    story.out.line(&say!(
        "Look at it with: spanwise --hangar {} show {GLIDER}",
        folder.display(),
        GLIDER = GLIDER
    ));
    Ok(exit::DONE)
}

struct Story<'a> {
    folder: &'a Path,
    out: &'a mut Output,
}

impl Story<'_> {
    fn stage(&mut self, title: &str) {
        self.out.line(&format!("\n== {title}"));
    }

    /// Runs one command, prints it and its answer, and insists on the exit code.
    fn run(&mut self, by: &str, wanted: u8, args: &[&str]) -> Result<String, Failure> {
        let shown: Vec<String> = args
            .iter()
            .map(|arg| if arg.contains(' ') { format!("\"{arg}\"") } else { (*arg).to_string() })
            .collect();
        self.out.line(&format!("$ spanwise {} --by {by}", shown.join(" ")));
        let folder = self.folder.to_string_lossy();
        let line = ["spanwise", "--hangar", &folder, "--by", by].into_iter().chain(args.iter().copied());
        let cli = Cli::try_parse_from(line).map_err(|error| Failure::usage(&error.to_string()))?;
        let mut answer = Output::captured();
        let code = match dispatch(&cli, &mut answer) {
            Ok(code) => code,
            Err(failure) => {
                answer.error(&failure.to_string());
                failure.code()
            }
        };
        let text = answer.take();
        let lines: Vec<&str> = text.lines().collect();
        for line in lines.iter().take(LINES_SHOWN) {
            self.out.line(&format!("  {line}"));
        }
        if lines.len() > LINES_SHOWN {
            self.out.line(&format!("  {}", say!("… and {} lines more", lines.len() - LINES_SHOWN)));
        }
        if code != wanted {
            return Err(Failure::failed(say!(
                "the walkthrough stops: that ended with code {code}, not {wanted}",
                code = code,
                wanted = wanted
            )));
        }
        Ok(text)
    }

    fn inspector(&mut self, args: &[&str]) -> Result<String, Failure> {
        self.run(INSPECTOR, exit::DONE, args)
    }

    /// Opens the session for a stretch of work that would be dull to print.
    fn quietly(
        &mut self,
        table: &str,
        work_on: impl Fn(&Crew<'_>, &mut Work) -> Result<usize, Failure>,
    ) -> Result<usize, Failure> {
        let hangar = Hangar::load(self.folder);
        let sid = find_session(&hangar, GLIDER)?;
        let mut work = Work::open(&hangar, &sid)?;
        let crew = Crew {
            hangar: &hangar,
            inspector: hangar.actor(INSPECTOR)?,
            second: hangar.actor(SECOND)?,
            second_key: OnceCell::new(),
            flex_table: paper_table(table)?,
        };
        work_on(&crew, &mut work)
    }

    fn reports(&mut self) -> Result<(), Failure> {
        self.stage(say!("The hangar, and what the pilots reported"));
        self.inspector(&["list"])?;
        let plan = self.inspector(&["plan", GLIDER]).map(|text| text.contains(FLEX))?;
        if !plan {
            return Err(Failure::failed(say!("the reports did not select the flex test")));
        }
        Ok(())
    }

    fn begin(&mut self) -> Result<(), Failure> {
        self.stage(say!("The annual is begun: the plan is frozen"));
        self.inspector(&["begin", GLIDER]).map(drop)
    }

    fn papers(&mut self) -> Result<(), Failure> {
        self.stage(say!("Papers: reports, directives, life-limited items"));
        let hangar = Hangar::load(self.folder);
        let sid = find_session(&hangar, GLIDER)?;
        let plan = crate::hangar::Viewing::open(&hangar, &sid)?.plan;
        for report in plan.reports.iter().filter(|report| report.modules.is_empty()) {
            self.inspector(&[
                "set-aside",
                GLIDER,
                &report.id,
                "traced to a loose plug, reseated and tried (invented)",
            ])?;
        }
        let next_year = (hangar.today() + chrono::Days::new(365)).to_string();
        for directive in &plan.airframe.directives {
            let mut args = vec!["directive", GLIDER, &directive.id];
            if !directive.applies {
                args.extend(["not-applicable", "--note", "another serial range (invented)"]);
            } else {
                args.extend(["complied", "--note", "done today (invented)"]);
                if directive.repeating {
                    args.extend(["--next-due", &next_year]);
                }
            }
            self.inspector(&args)?;
        }
        for item in &plan.airframe.life_items {
            self.inspector(&["life-item", GLIDER, &item.id, "within-life"])?;
        }
        Ok(())
    }

    fn routine(&mut self) -> Result<(), Failure> {
        self.stage(say!("The routine steps of the programme and the type supplement"));
        let answered = self.quietly("sound-fin", |crew, work| {
            pass_ready(crew, work, |id| !id.starts_with(MODULE) && !id.starts_with(CLOSING))
        })?;
        self.out.line(&format!(
            "  {}",
            say!(
                "{answered} steps worked and passed, each with its readings and evidence",
                answered = answered
            )
        ));
        self.stage(say!("The targeted steps before the decisive run"));
        let answered = self.quietly("soft-fin", |crew, work| {
            let flex = work.view.plan.position(FLEX).unwrap_or(usize::MAX);
            let before: Vec<String> =
                work.view.plan.steps.iter().take(flex).map(|step| step.step.id.clone()).collect();
            pass_ready(crew, work, |id| id.starts_with(MODULE) && before.iter().any(|step| step == id))
        })?;
        self.out.line(&format!(
            "  {}",
            say!(
                "{answered} steps: history, outside look, trestles, first run with the tailplane on",
                answered = answered
            )
        ));
        Ok(())
    }

    fn flex(&mut self) -> Result<(), Failure> {
        self.stage(say!(
            "The decisive run: lateral flex test, tailplane off, tail wheel clear, wings on trestles"
        ));
        let paper = self.folder.join("flex").join("soft-fin.csv");
        write_file(&paper, paper_table("soft-fin")?.as_bytes()).map_err(Failure::failed)?;
        let paper = paper.to_string_lossy().into_owned();
        let configuration = self.configuration_of(FLEX)?;
        self.inspector(&["confirm", GLIDER, &configuration])?;
        let too_much = "left,up,16 kgf,20.0 mm";
        self.run(
            INSPECTOR,
            exit::REFUSED,
            &["read", GLIDER, FLEX, "fin-top", too_much, "--instrument", &self.instruments()],
        )?;
        self.inspector(&[
            "read",
            GLIDER,
            FLEX,
            "fin-top",
            "--file",
            &paper,
            "--instrument",
            &self.instruments(),
        ])?;
        self.inspector(&[
            "answer",
            GLIDER,
            FLEX,
            "fail",
            "--reason",
            "softer than the sound airframes, with lost motion (invented)",
        ])?;
        self.inspector(&[
            "defect",
            "raise",
            GLIDER,
            "fin softer than sound airframes of the same build standard",
            "--step",
            FLEX,
            "--component",
            "fin root",
            "--side",
            "both",
            "--station",
            "4280",
            "--severity",
            "grounding",
        ])
        .map(drop)
    }

    fn camera(&mut self) -> Result<(), Failure> {
        self.stage(say!("Inside, with a camera, while the fin is flexed each way"));
        self.quietly("soft-fin", |crew, work| {
            pass_ready(crew, work, |id| id.starts_with(MODULE) && id != CAMERA && id != "fin-root.comparison")
        })?;
        self.quietly("soft-fin", |crew, work| {
            let Some(planned) = work.view.plan.step(CAMERA).cloned() else { return Ok(0) };
            crew.prepare(work, &planned)?;
            crew.measure(work, &planned)?;
            crew.film(work, &planned)?;
            Ok(1)
        })?;
        self.inspector(&[
            "answer",
            GLIDER,
            CAMERA,
            "fail",
            "--reason",
            "rib ahead of the cut-out is broken and moves (invented)",
        ])?;
        self.inspector(&[
            "defect",
            "raise",
            GLIDER,
            "rib ahead of the tailplane cut-out broken",
            "--step",
            CAMERA,
            "--component",
            "fin rib",
            "--side",
            "left",
            "--station",
            "4310",
            "--severity",
            "grounding",
        ])?;
        let rest =
            self.quietly("soft-fin", |crew, work| pass_ready(crew, work, |id| !id.starts_with(CLOSING)))?;
        self.out.line(&format!(
            "  {}",
            say!(
                "{rest} further steps worked; the glider stays apart until the fin is dealt with",
                rest = rest
            )
        ));
        Ok(())
    }

    fn refused(&mut self) -> Result<(), Failure> {
        self.stage(say!("The sign-off is refused, with reasons"));
        self.run(INSPECTOR, exit::REFUSED, &["sign", GLIDER, "release", "--confirm", GLIDER])?;
        self.stage(say!("Referred to the repairer; the airframe stays on the ground"));
        for defect in ["d1", "d2"] {
            self.inspector(&[
                "defect",
                "dispose",
                GLIDER,
                defect,
                "refer",
                "--note",
                "approved composite repairer (invented)",
            ])?;
        }
        self.run(INSPECTOR, exit::REFUSED, &["status", GLIDER]).map(drop)
    }

    fn rectified(&mut self) -> Result<(), Failure> {
        self.stage(say!("Back from the repairer: rectified, and inspected again by the same steps"));
        for defect in ["d1", "d2"] {
            let work = "rib replaced and fin root relaminated by the repairer's approved data (invented)";
            self.inspector(&["defect", "rectify", GLIDER, defect, work, "--disturbed-controls"])?;
        }
        self.run(INSPECTOR, exit::REFUSED, &["status", GLIDER])?;
        let again =
            self.quietly("sound-fin", |crew, work| pass_ready(crew, work, |id| !id.starts_with(CLOSING)))?;
        self.out.line(&format!(
            "  {}",
            say!(
                "{again} steps worked again, with new readings and films, and a second person's look",
                again = again
            )
        ));
        self.stage(say!(
            "Reassembled, with an independent inspection of the controls, and the last walk round"
        ));
        let closing = self.quietly("sound-fin", |crew, work| pass_ready(crew, work, |_| true))?;
        self.out.line(&format!("  {}", say!("{closing} steps", closing = closing)));
        self.run(INSPECTOR, exit::DONE, &["status", GLIDER]).map(drop)
    }

    fn released(&mut self) -> Result<(), Failure> {
        self.stage(say!("Released"));
        self.run("edwin-hask", exit::REFUSED, &["sign", GLIDER, "release", "--confirm", GLIDER])?;
        let phrase =
            self.folder.join("keys").join("passphrase-of-the-demo.txt").to_string_lossy().into_owned();
        let sign = ["sign", GLIDER, "release", "--confirm", GLIDER, "--passphrase-file", &phrase];
        self.inspector(&sign)?;
        self.run(SECOND, exit::DONE, &["countersign", GLIDER, "--passphrase-file", &phrase])?;
        self.inspector(&["list"])?;
        self.run(INSPECTOR, exit::REFUSED, &["note", GLIDER, "one more thing"]).map(drop)
    }

    /// Shown and not begun: the signed session stays the newest, to be looked at afterwards.
    fn carried_forward(&mut self) -> Result<(), Failure> {
        self.stage(say!("What the next annual of this glider opens with"));
        let carried = self.inspector(&["carried", GLIDER])?;
        if !(carried.contains(FLEX) && carried.contains(said("failed, passed after the rectification"))) {
            return Err(Failure::failed(say!("what failed before was not carried forward")));
        }
        if self.inspector(&["plan", GLIDER])?.contains(FLEX) {
            return Err(Failure::failed(say!("reports that were dealt with target the next annual, too")));
        }
        Ok(())
    }

    fn configuration_of(&self, step: &str) -> Result<String, Failure> {
        let hangar = Hangar::load(self.folder);
        let plan = crate::hangar::preview(&hangar, GLIDER)?;
        let Some(planned) = plan.step(step) else {
            return Err(Failure::failed(say!("the plan has no step {step}", step = step)));
        };
        let parts: Vec<String> = planned
            .step
            .configuration
            .iter()
            .map(|(aspect, setting)| format!("{}={}", aspect.word(), setting.word()))
            .collect();
        Ok(parts.join(", "))
    }

    /// What the deflection and the load are read with: the register's first of each kind in calibration.
    fn instruments(&self) -> String {
        let hangar = Hangar::load(self.folder);
        let today = hangar.today();
        let first = |quantity: &str| {
            let found = hangar.instruments.0.iter().find(|found| {
                found.quantity == quantity && found.calibration_due.is_some_and(|due| due >= today)
            });
            found.map_or("none", |found| found.id.as_str())
        };
        format!("{} + {}", first("length"), first("force"))
    }
}

/// Passes every open step of the choice whose turn has come, until no more turns come. Returns how many.
fn pass_ready(crew: &Crew<'_>, work: &mut Work, chosen: impl Fn(&str) -> bool) -> Result<usize, Failure> {
    let mut passed = 0;
    loop {
        let next = work
            .view
            .plan
            .steps
            .iter()
            .map(|step| step.step.id.as_str())
            .find(|id| chosen(id) && work.view.state.standing(id).is_open() && ready(work, id))
            .map(str::to_string);
        match next {
            Some(id) => crew.pass(work, &id)?,
            None => return Ok(passed),
        }
        passed += 1;
    }
}
