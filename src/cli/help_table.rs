//! Examples and exit codes of the commands, one line each. What a command's own help says already is not said twice.

/// What a command's help adds.
#[derive(Debug)]
pub(super) struct Page {
    /// The words of the command.
    pub path: &'static str,
    /// Lines as they are typed.
    pub examples: &'static [&'static str],
    /// Unused where the command's own help tells them.
    pub codes: &'static str,
    /// It takes `--json` and tells its result in the common form.
    pub reports: bool,
}

const fn page(path: &'static str, codes: &'static str, examples: &'static [&'static str]) -> Page {
    Page { path, examples, codes, reports: false }
}

/// A command whose result is told as JSON in the common form.
const fn act(path: &'static str, codes: &'static str, examples: &'static [&'static str]) -> Page {
    Page { path, examples, codes, reports: true }
}

const TOLD: &str = "0 told; 1 something cannot be read; 2 the command line is wrong.";
const OF_SESSION: &str =
    "0 told; 1 something cannot be read; 2 the command line is wrong; 4 the record is damaged.";
const RECORDED: &str = "0 recorded; 1 a file or the disk failed; 2 the command line is wrong; \
3 refused, nothing was recorded; 4 the record is damaged.";
const WRITTEN: &str =
    "0 written; 1 a file or the disk failed; 2 the command line is wrong; 3 refused, nothing was changed.";
const SIGNED: &str = "0 signed; 1 a file, a key or the disk failed; 2 the command line is wrong; \
3 refused, nothing was signed; 4 the record is damaged.";
const OWN: &str = "";

pub(super) const PAGES: &[Page] = &[
    page("demo", "0 done; 1 something failed.", &["spanwise demo", "spanwise demo --walkthrough"]),
    page("list", TOLD, &["spanwise list", "spanwise --hangar ./club list --json"]),
    page("airframe", TOLD, &["spanwise airframe XX-VA7"]),
    page("people", TOLD, &["spanwise people"]),
    page("instruments", TOLD, &["spanwise instruments --json"]),
    page(
        "due",
        "0 nothing is overdue; 1 something cannot be read; 2 the command line is wrong; 3 something is overdue.",
        &["spanwise due XX-VA7"],
    ),
    page("begin", RECORDED, &["spanwise begin XX-VA7 --by tamsin-orrel"]),
    page("plan", TOLD, &["spanwise plan XX-VA7"]),
    page(
        "order",
        "0 told; 1 something cannot be read; 2 the command line is wrong; 3 the session is signed; 4 the record is damaged.",
        &[
            "spanwise order XX-VA7",
            "spanwise order XX-VA7 --people 2 --from \"wings=derigged, support=belly-dolly\"",
        ],
    ),
    page(
        "report",
        "0 written; 1 something cannot be read or written; 2 the command line is wrong; \
         4 written, and the record is damaged: every page says so.",
        &[
            "spanwise report XX-VA7",
            "spanwise report XX-VA7 --only logbook,discrepancies --paper letter --out entry.pdf",
            "spanwise report XX-VA7 --form html --out annual.html",
            "spanwise report XX-VA7 --form csv --only readings --out -",
            "spanwise report --schema",
        ],
    ),
    page(
        "worksheet",
        "0 written; 1 something cannot be read or written; 2 the command line is wrong; 4 the record is damaged.",
        &["spanwise worksheet XX-VA7", "spanwise worksheet XX-VA7 --paper letter --out sheet.pdf"],
    ),
    act(
        "worksheet enter",
        RECORDED,
        &[
            "spanwise worksheet enter XX-VA7 --sheet K7Q2-M3XD-07 --written \"2026-11-24 16:30\" --written-by pia-wendle --from rows.txt --by tamsin-orrel",
            "spanwise worksheet enter XX-VA7 --sheet K7Q2-M3XD-07 --written 2026-11-24 --row \"17 p\" --check --by tamsin-orrel",
        ],
    ),
    page(
        "report add",
        WRITTEN,
        &["spanwise report add XX-VA7 --kind tail-noise --text \"it creaks when pushed\" --from \"a pilot\""],
    ),
    page("report list", TOLD, &["spanwise report list XX-VA7"]),
    page("report explain", TOLD, &["spanwise report explain XX-VA7"]),
    page("carried", TOLD, &["spanwise carried XX-VA7"]),
    act("bring-forward", WRITTEN, &["spanwise bring-forward XX-VA7"]),
    page(
        "take-up",
        RECORDED,
        &[
            "spanwise take-up XX-VA7 --by tamsin-orrel",
            "spanwise take-up XX-VA7 --by tamsin-orrel --why \"edition 1.1.0\"",
        ],
    ),
    page("work", OF_SESSION, &["spanwise work XX-VA7 --by tamsin-orrel"]),
    page(
        "status",
        "0 the sign-off is possible; 1 something cannot be read; 2 the command line is wrong; 3 it is not possible; \
         4 the record is damaged.",
        &["spanwise status XX-VA7", "spanwise status XX-VA7 --outcome not-airworthy"],
    ),
    page("show", OF_SESSION, &["spanwise show XX-VA7", "spanwise show XX-VA7 --entries"]),
    page(
        "replay",
        "0 told; 1 something cannot be read; 2 the command line is wrong; 3 no such entry or step; 4 the record is damaged.",
        &["spanwise replay XX-VA7", "spanwise replay XX-VA7 --step records.identity"],
    ),
    page("findings", OF_SESSION, &["spanwise findings XX-VA7", "spanwise findings --explain"]),
    page("compare", OF_SESSION, &["spanwise compare XX-VA7"]),
    page("compare-plans", OF_SESSION, &["spanwise compare-plans XX-VA7 XX-VB2"]),
    act(
        "answer",
        RECORDED,
        &[
            "spanwise answer XX-VA7 records.identity pass --by tamsin-orrel",
            "spanwise answer XX-VA7 oxygen.bottle not-applicable --reason \"none fitted\" --by tamsin-orrel",
        ],
    ),
    act(
        "read",
        RECORDED,
        &["spanwise read XX-VA7 wheel.tyre pressure \"2.45 bar\" --instrument gauge-1 --by tamsin-orrel"],
    ),
    act(
        "confirm",
        RECORDED,
        &["spanwise confirm XX-VA7 \"wings=rigged, support=trestles\" --by tamsin-orrel"],
    ),
    act("note", RECORDED, &["spanwise note XX-VA7 \"rain came in at noon\" --by tamsin-orrel"]),
    act(
        "initial",
        RECORDED,
        &["spanwise initial XX-VA7 records.identity \"read the plates\" --by edwin-hask"],
    ),
    act(
        "evidence",
        RECORDED,
        &["spanwise evidence XX-VA7 ./fin.jpg --step records.identity --by tamsin-orrel"],
    ),
    act("withdraw", RECORDED, &["spanwise withdraw XX-VA7 12 \"wrong step\" --by tamsin-orrel"]),
    page("defect", RECORDED, &["spanwise defect raise XX-VA7 \"crack in the gelcoat\" --by tamsin-orrel"]),
    act(
        "defect raise",
        RECORDED,
        &[
            "spanwise defect raise XX-VA7 \"crack in the gelcoat\" --component fin --side left --station 4250 --by tamsin-orrel",
        ],
    ),
    act(
        "defect dispose",
        RECORDED,
        &[
            "spanwise defect dispose XX-VA7 d1 defer --until 2027-03-01 --note \"within the manual\" --by tamsin-orrel",
        ],
    ),
    act(
        "defect rectify",
        RECORDED,
        &["spanwise defect rectify XX-VA7 d1 \"bolt renewed, manual 4.2\" --by tamsin-orrel"],
    ),
    act(
        "defect reinspect",
        RECORDED,
        &["spanwise defect reinspect XX-VA7 d1 \"sound and locked\" --by tamsin-orrel"],
    ),
    page("defects", OF_SESSION, &[]),
    act(
        "set-aside",
        RECORDED,
        &["spanwise set-aside XX-VA7 r1 \"the radio, not the airframe\" --by tamsin-orrel"],
    ),
    act(
        "directive",
        RECORDED,
        &["spanwise directive XX-VA7 INV-2026-01 complied --note \"bulletin 3\" --by tamsin-orrel"],
    ),
    act(
        "life-item",
        RECORDED,
        &["spanwise life-item XX-VA7 harness replaced --next-due 2038-11-25 --by tamsin-orrel"],
    ),
    act(
        "inspect",
        SIGNED,
        &[
            "spanwise inspect XX-VA7 controls.connect \"elevator\" --checked assembly,locking,sense,range --by bram-tolvik",
        ],
    ),
    act("pause", RECORDED, &["spanwise pause XX-VA7 --note \"until tomorrow\" --by tamsin-orrel"]),
    act("resume", RECORDED, &["spanwise resume XX-VA7 --by tamsin-orrel"]),
    act("sign", SIGNED, &["spanwise sign XX-VA7 release --confirm XX-VA7 --by tamsin-orrel"]),
    act("countersign", SIGNED, &["spanwise countersign XX-VA7 --by bram-tolvik"]),
    page("key", WRITTEN, &["spanwise key list"]),
    act("key new", WRITTEN, &["spanwise key new tamsin-orrel"]),
    act("key add", WRITTEN, &["spanwise key add tamsin-orrel --public ./id_ed25519.pub"]),
    act("key end", WRITTEN, &["spanwise key end tamsin-orrel --because \"the computer was sold\""]),
    page("key list", TOLD, &["spanwise key list --json"]),
    act("key signers", TOLD, &["spanwise key signers > signers"]),
    act(
        "seal-files",
        "0 written; 1 a file failed; 2 the command line is wrong; 3 nothing is signed, or the folder is not empty; \
         4 the record is damaged.",
        &["spanwise seal-files XX-VA7 --into ./signed"],
    ),
    act(
        "rescue",
        "0 the copy is whole; 1 something could not be read, or the copy not be written; 2 the command line is wrong.",
        &["spanwise rescue XX-VA7 --into ./stick"],
    ),
    act(
        "make-room",
        "0 given back; 1 the disk failed; 2 the command line is wrong; 3 there is none left.",
        &["spanwise make-room XX-VA7"],
    ),
    page("handover", OWN, &[]),
    page("opening", OWN, &[]),
    page("library", OWN, &["spanwise library"]),
    page("pack", OWN, &[]),
    act(
        "pack export",
        WRITTEN,
        &["spanwise pack export fin-checks.pack --only fin-root@1.1.0 --by orla-testrup"],
    ),
    page(
        "pack verify",
        "0 whole, unaltered, and the register vouches for the key; 1 a file cannot be read; 2 the command line is wrong; \
         3 whole, but the key is not vouched for or an edition has faults; 4 altered, truncated, or no pack.",
        &["spanwise pack verify fin-checks.pack"],
    ),
    act(
        "pack install",
        "0 installed, or already there; 1 the disk failed; 2 the command line is wrong; 3 refused, nothing was changed; \
         4 altered, truncated, or no pack.",
        &["spanwise pack install fin-checks.pack --by tamsin-orrel"],
    ),
    act(
        "translate",
        "0 written or told; 1 a file or the disk failed; 2 the command line is wrong; 3 with --check: something is missing or differs.",
        &[
            "spanwise translate checklists/fin-root/draft.toml",
            "spanwise translate checklists/fin-root/draft.toml --check",
        ],
    ),
    page("schema", TOLD, &["spanwise schema checklist", "spanwise schema --reference"]),
    page("coverage", OWN, &[]),
    page("edition", "see each of its commands.", &["spanwise edition list"]),
    page("edition compare", OWN, &[]),
    page("edition list", OWN, &["spanwise edition list", "spanwise edition list fin-root"]),
    act("edition draft", WRITTEN, &["spanwise edition draft fin-root"]),
    act("edition add-step", WRITTEN, &[]),
    act(
        "edition new-module",
        WRITTEN,
        &["spanwise edition new-module own-look --title \"Own look\" --report odd-yaw"],
    ),
    page(
        "edition preview",
        "0 shown; 1 it cannot be read; 2 the command line is wrong; 3 it has faults.",
        &["spanwise edition preview ./checklists/fin-root/draft.toml"],
    ),
    act("edition issue", WRITTEN, &[]),
    page("check", OWN, &[]),
    page("compute", OWN, &[]),
    page("verify", OWN, &[]),
    page("anchor", OWN, &["spanwise anchor XX-VA7"]),
    page("record", WRITTEN, &[]),
    page(
        "record new",
        WRITTEN,
        &["spanwise record new XX-NEW --set type=varn-15 --set serial=0107 --set hours=10.5"],
    ),
    page(
        "record add",
        WRITTEN,
        &[
            "spanwise record add XX-VA7 report --set kind=tail-noise --set date=2026-09-06 --set text=\"it creaks\"",
        ],
    ),
    page("record change", WRITTEN, &["spanwise record change XX-VA7 --set hours=12 --unset owner"]),
    page("record remove", WRITTEN, &["spanwise record remove XX-VA7 report r2"]),
    page("record keys", TOLD, &["spanwise record keys report"]),
    page("init", WRITTEN, &["spanwise init ./club"]),
    page("refusals", TOLD, &["spanwise refusals", "spanwise refusals 8"]),
    page(
        "export",
        "0 written; 1 something cannot be read, or the file not be written; 2 the command line is wrong.",
        &["spanwise export airframes --csv", "spanwise export instruments --csv --out instruments.csv"],
    ),
    page(
        "import",
        "0 written, or for --dry-run nothing stands against it; 1 a file or the disk failed; 2 the command line is \
         wrong; 3 a row has faults, nothing was written.",
        &[
            "spanwise import airframes fleet.csv --dry-run",
            "spanwise import instruments instruments.csv --update",
        ],
    ),
    page(
        "config",
        "0 told; 1 the file has faults, defaults hold for them; 2 the command line is wrong.",
        &["spanwise config", "spanwise config --path"],
    ),
    page("config init", WRITTEN, &["spanwise config init"]),
    page("config set", WRITTEN, &["spanwise config set person tamsin-orrel"]),
    page("config unset", WRITTEN, &["spanwise config unset person"]),
    page("log", TOLD, &["spanwise log --tail 20", "spanwise log --path"]),
    page(
        "completions",
        "0 printed; 2 the command line is wrong.",
        &[
            "spanwise completions bash > ~/.local/share/bash-completion/completions/spanwise",
            "spanwise completions fish",
        ],
    ),
    page(
        "man",
        "0 written; 1 the folder cannot be written; 2 the command line is wrong.",
        &["spanwise man --into ./man1"],
    ),
];
