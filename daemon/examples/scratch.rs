#![allow(missing_docs, clippy::all, clippy::pedantic, clippy::unwrap_used)]
use pullmark_daemon::edge::store::{Reader, check};
use pullmark_schema::canonical::Digest32;
use pullmark_schema::tree::{Frontier, leaf_hash};
use std::path::Path;
use std::time::Instant;
fn cpu() -> f64 {
    let s = std::fs::read_to_string("/proc/self/stat").unwrap();
    let f: Vec<&str> = s.rsplit(')').next().unwrap().split_whitespace().collect();
    (f[11].parse::<f64>().unwrap() + f[12].parse::<f64>().unwrap()) * 10.0
}
fn main() {
    let folder = Path::new("/tmp/r3/ledger");
    let (mut r, mut c) = (f64::MAX, f64::MAX);
    let (mut rc, mut cc) = (f64::MAX, f64::MAX);
    for _ in 0..6 {
        let t = Instant::now();
        let u = cpu();
        let reader = Reader::open(folder).unwrap();
        let mut tree = Frontier::new();
        let mut n = 0u64;
        reader
            .each_raw(0, u64::MAX, |raw| {
                tree.append(leaf_hash(raw.body));
                if let Some(b) = raw.attached {
                    n += u64::from(Digest32::of(b).as_bytes()[0]);
                }
                Ok(())
            })
            .unwrap();
        std::hint::black_box((n, tree.root()));
        rc = rc.min(cpu() - u);
        r = r.min(t.elapsed().as_secs_f64() * 1e3);
        let t = Instant::now();
        let u = cpu();
        check(folder).unwrap();
        cc = cc.min(cpu() - u);
        c = c.min(t.elapsed().as_secs_f64() * 1e3);
    }
    println!("cpu {rc:.0} {cc:.0} {:.2}", cc / rc);
    println!("read {r:.0} check {c:.0} ratio {:.2}", c / r);
}
