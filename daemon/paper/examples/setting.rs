#![allow(missing_docs, clippy::all, clippy::pedantic, clippy::unwrap_used)]
use pullmark_paper::{Letterhead, Paper};
use pullmark_schema::{
    map::{self, Spot},
    record,
    sheet::sheet,
};
use std::time::Instant;
fn main() {
    let file = std::fs::read("/tmp/r3/record.json").unwrap();
    let verified = record::verify(&file).unwrap();
    let shown = &verified.record;
    let sha256 = verified.sha256.to_string();
    let sheet = sheet(shown, &sha256, &verified.fingerprint.to_string());
    let spots = Spot::all(&shown.subject);
    let drawing = map::picture(shown.subject.frame, &spots);
    let paper = Paper {
        sheet: &sheet,
        record: &file,
        code: &sha256,
        sealed: &shown.valid_from,
        map: drawing.as_ref().map(|(s, w)| (s.as_str(), w.as_str())),
        letterhead: &Letterhead::default(),
        customer: None,
    };
    let mut best = f64::MAX;
    for _ in 0..std::env::args()
        .nth(1)
        .and_then(|n| n.parse().ok())
        .unwrap_or(8)
    {
        pullmark_paper::forget();
        let t = Instant::now();
        let pdf = pullmark_paper::pdf(&paper).unwrap();
        let ms = t.elapsed().as_secs_f64() * 1e3;
        best = best.min(ms);
        std::fs::write("/tmp/r3/out.pdf", pdf).unwrap();
    }
    println!("best {best:.0} ms");
}
