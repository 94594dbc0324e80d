//! 13: the signer's authorisation is missing, expired or does not cover this.

use super::{Context, Refusal, Subject};
use crate::airframe::AuthorisationKind;
use crate::words::date;

pub const NAME: &str = mark!("signer not authorised");
pub const DOC: &str = mark!(
    "Only a person whose authorisation for the annual of this type is valid on the day may sign \
(14 CFR 43.7 and 65.95; ML.A.801(b)), and signs with a key of their own. The people register tells; the program does not judge licences."
);

pub fn find(context: &Context<'_>, found: &mut Vec<Refusal>) {
    if let Some(why) = objection(context) {
        found.push(Refusal {
            number: 13,
            name: NAME,
            subject: Subject::Signer,
            why,
            clears: say!("let an authorised person sign, or bring the people register up to date")
                .to_string(),
            release_only: false,
        });
    }
}

fn objection(context: &Context<'_>) -> Option<String> {
    let Some(signer) = context.signer else {
        return Some(say!("nobody is named as the signer").to_string());
    };
    let type_id = &context.plan.airframe.type_id;
    let releases =
        || signer.authorisations.iter().filter(|held| held.kind == AuthorisationKind::AnnualRelease);
    if releases().next().is_none() {
        return Some(say!("{} holds no authorisation to sign an annual", signer.name));
    }
    let Some(longest) = releases().filter(|held| held.covers(type_id)).max_by_key(|held| held.valid_until)
    else {
        return Some(say!(
            "the authorisation of {} does not cover {type_id}",
            signer.name,
            type_id = type_id
        ));
    };
    if longest.valid_until < context.today {
        return Some(say!(
            "the authorisation {} of {} ended on {}",
            longest.number,
            signer.name,
            date(longest.valid_until)
        ));
    }
    signer.keys_on(context.today).next().is_none().then(|| {
        say!(
            "the people register has no key of {} that is valid today (spanwise key new {})",
            signer.name,
            signer.id
        )
    })
}
