//! What people ask for. An answer means that it is on disk.

use super::{Answer, Body, body};
use crate::run::Handle;
use axum::Json;
use axum::extract::State;
use pullmark_schema::api::{Act, Done};
use serde_json::Value;

pub(super) async fn act(State(handle): State<Handle>, act: Body<Act>) -> Answer<Json<Done>> {
    let act = body(act)?;
    note_markup(&act);
    Ok(Json(handle.act(act).await??))
}

/// Says in the log where a text in an act looks like markup: a title that is more than it seems. It is kept as the text that it is,
/// and every view shows it as that.
pub(super) fn note_markup(act: &Act) {
    let Ok(value) = serde_json::to_value(act) else {
        return;
    };
    if has_markup(&value) {
        let act = value.get("act").and_then(Value::as_str);
        tracing::warn!(
            act,
            "a text in an act looks like markup: it is kept and shown as text"
        );
    }
}

fn has_markup(value: &Value) -> bool {
    match value {
        Value::String(text) => text.split('<').skip(1).any(|after| {
            let first = after.chars().next();
            first.is_some_and(|c| c.is_ascii_alphabetic() || c == '/' || c == '!')
        }),
        Value::Array(all) => all.iter().any(has_markup),
        Value::Object(all) => all.values().any(has_markup),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::has_markup;
    use serde_json::json;

    #[test]
    fn markup_is_told_from_a_text_with_an_angle() {
        for text in ["<img src=x>", "bolt </b>", "a <!-- b", "x < y <b"] {
            assert!(has_markup(&json!({ "plan": [text] })), "{text}");
        }
        for text in ["", "play < 0.1 mm", "M5 <-> M6", "3 <5", "<"] {
            assert!(!has_markup(&json!({ "plan": [text] })), "{text}");
        }
    }
}
