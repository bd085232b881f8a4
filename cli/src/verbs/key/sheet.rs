//! The sheets: what hangs on the wall, and what lies in the safe.

use fast_qr::convert::Builder as _;
use fast_qr::convert::svg::SvgBuilder;
use fast_qr::{ECL, QRBuilder};
use miette::miette;
use pullmark_schema::canonical::Digest32;
use pullmark_schema::keys::in_groups;

/// What stands before the recovery key on its sheet.
pub(super) const MARK: &str = "RECOVERY KEY:";

/// What everybody may see.
pub(super) struct Wall<'a> {
    /// The bench's name.
    pub(super) bench: &'a str,
    /// Its identity.
    pub(super) identity: &'a Digest32,
    /// The key that signs now.
    pub(super) key: &'a str,
}

impl Wall<'_> {
    /// For any printer.
    pub(super) fn text(&self) -> String {
        format!(
            "PULLMARK - THE IDENTITY OF BENCH {}\n\n{}\n\nThe records of this bench are signed. The identity above stays the same when its \
             key is changed.\nCompare it with the one that the checking program shows, or give it to the program:\n\n  pullmark record \
             verify record.json --pin {}\n\nThe key that signs now: {}\n",
            self.bench,
            lines(self.identity),
            self.identity,
            self.key
        )
    }

    /// One file that loads nothing.
    pub(super) fn html(&self) -> miette::Result<String> {
        // A black code on white with its quiet zone; the text is the identity alone.
        let code = QRBuilder::new(self.identity.to_string())
            .ecl(ECL::Q)
            .build()
            .map_err(|error| miette!("the code cannot be drawn: {error:?}"))?;
        let drawing = SvgBuilder::default().margin(4).to_str(&code);
        let groups = lines(self.identity).replace('\n', "<br>");
        Ok(format!(
            "<!doctype html>\n<html lang=\"en\">\n<meta charset=\"utf-8\">\n<title>Identity of {bench}</title>\n<meta \
             http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n<style>body{{font:16pt \
             sans-serif;max-width:170mm;margin:20mm auto}}p.id{{font:bold 20pt monospace;line-height:1.6}}svg{{width:70mm;height:70mm}}</style>\n\
             <h1>Identity of {bench}</h1>\n<p class=\"id\">{groups}</p>\n{drawing}\n<p>The records of this bench are signed. Compare this \
             identity with the one that the checking program shows. It stays the same when the key is changed.</p>\n<p>The key that signs \
             now: <code>{key}</code></p>\n</html>\n",
            bench = escape(self.bench),
            key = escape(self.key),
        ))
    }
}

/// What nobody else may see.
pub(super) fn recovery(bench: &str, identity: &Digest32, secret: &str) -> String {
    format!(
        "PULLMARK - RECOVERY KEY OF BENCH {bench}\n\nIdentity of the bench:\n{}\n\n{MARK} {secret}\n\nKeep this sheet where money is kept. \
         Whoever has it can bring a new key for this bench.\nWith it a lost or stolen key is replaced:\n\n  pullmark key recover --sheet - \
         --reason loss\n\nThe last group of four digits tells a typing error.\n",
        lines(identity)
    )
}

/// Four lines of four groups.
fn lines(identity: &Digest32) -> String {
    let text = in_groups(identity);
    let groups: Vec<&str> = text.split(' ').collect();
    let lines: Vec<String> = groups.chunks(4).map(|line| line.join(" ")).collect();
    lines.join("\n")
}

fn escape(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}
