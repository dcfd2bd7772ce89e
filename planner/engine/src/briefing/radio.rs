//! What is said on the radio, as it is told.

use crate::clean;
use crate::layout::Page;
use crate::planning::{Plan, Radio};
use serde::{Deserialize, Serialize};

/// What is said on the radio, in the order in which it is printed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct RadioBriefing {
    /// The instruction as given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub given: Option<String>,
    /// The instruction in ICAO order.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instruction: Option<String>,
    /// The instruction in FAA order.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub runway_first: Option<String>,
    /// The student's read-back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub read_back: Option<String>,
    /// The same as spoken.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spoken: Option<String>,
    /// What of it must be read back.
    pub must: Vec<String>,
    /// What is said later, and its read-back, in sentences.
    pub later: Vec<String>,
    /// Announcements at a field without a tower.
    pub without_tower: Vec<String>,
    /// The way instructed against our own choice.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub compared: Option<String>,
    /// What to ask about or to mind, in sentences.
    pub notes: Vec<String>,
}

/// Tells what is said on the radio.
pub(crate) fn tell(plan: &Plan) -> Option<RadioBriefing> {
    let r: &Radio = plan.radio.as_ref()?;
    let said = r.said.as_ref();
    let text = |t: &String| clean::sentence(t);
    let list = |l: &[String]| l.iter().map(text).collect();
    let mut notes: Vec<String> = list(&r.notes);
    notes.extend(r.remarks.iter().map(|m| {
        let m = clean::sentence(m);
        format!("\"{m}\": understood as a remark; the plan knows no other traffic, so this is for you to do")
    }));
    notes.extend(said.and_then(|s| s.doubt.as_ref()).map(text));
    Some(RadioBriefing {
        given: r.given.as_ref().map(text),
        instruction: said.map(|s| text(&s.instruction)),
        runway_first: said.map(|s| text(&s.runway_first)),
        read_back: said.map(|s| text(&s.read_back)),
        spoken: said.map(|s| text(&s.spoken)),
        must: said.map(|s| list(&s.must)).unwrap_or_default(),
        later: said
            .map(|s| {
                s.later
                    .iter()
                    .map(|(a, b)| format!("then \"{}\": read back \"{}\"", text(a), text(b)))
                    .collect()
            })
            .unwrap_or_default(),
        without_tower: said.map(|s| list(&s.without_tower)).unwrap_or_default(),
        compared: r.compared.as_ref().map(text),
        notes,
    })
}

/// Writes it as plain text; nothing when there is nothing to say.
pub(crate) fn text(page: &mut Page, r: &RadioBriefing) {
    if r.given.is_none() && r.instruction.is_none() {
        return;
    }
    page.heading("RADIO   (the words of the tower come first; (callsign) is your own)");
    let mut line = |title: &str, text: &Option<String>| {
        if let Some(text) = text {
            page.wrapped("  ", "    ", &format!("{title}: {text}"));
        }
    };
    line("Instruction given", &r.given);
    let read_as = if r.given.is_some() {
        "Read as"
    } else {
        "Instruction for this way"
    };
    line(read_as, &r.instruction);
    if r.runway_first != r.instruction {
        line("Runway first", &r.runway_first);
    }
    line("Read back", &r.read_back);
    line("Spoken", &r.spoken);
    if !r.must.is_empty() {
        line("Must be read back", &Some(r.must.join("; ")));
    }
    line("Compared", &r.compared);
    page.list(&r.later);
    page.list(&r.notes);
    if !r.without_tower.is_empty() {
        page.wrapped("  ", "    ", "Without a tower, announce:");
        page.list(&r.without_tower);
    }
}
