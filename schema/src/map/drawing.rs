//! The drawings themselves: few lines, so that they are told apart from two metres away.

use super::{FrameKind, LineKind, MapLine};

/// Every drawing is as high.
pub(super) const HEIGHT: u16 = 600;

/// What is drawn in words, how wide, and the lines.
pub(super) fn drawing(frame: FrameKind) -> (&'static str, u16, Vec<MapLine>) {
    match frame {
        FrameKind::Road => ("A bike with drop bars, from its right side", 1000, road()),
        FrameKind::FlatBar => (
            "A bike with a flat bar, from its right side",
            1000,
            flat_bar(),
        ),
        FrameKind::Cargo => ("A cargo bike, from its right side", 1000, cargo()),
        FrameKind::Tandem => ("A tandem, from its right side", 1200, tandem()),
        FrameKind::FourWheel => ("A cycle on four wheels, from above", 1000, four_wheel()),
    }
}

fn line(what: LineKind, path: &str) -> MapLine {
    MapLine {
        what,
        path: path.to_owned(),
    }
}

fn circle(what: LineKind, (x, y): (i32, i32), radius: i32) -> MapLine {
    let left = x - radius;
    let across = 2 * radius;
    MapLine {
        what,
        path: format!(
            "M{left} {y}a{radius} {radius} 0 1 0 {across} 0a{radius} {radius} 0 1 0 -{across} 0z"
        ),
    }
}

/// Tyre, rotor and hub.
fn wheel(at: (i32, i32), radius: i32) -> [MapLine; 3] {
    [
        circle(LineKind::Wheel, at, radius),
        circle(LineKind::Faint, at, 38),
        circle(LineKind::Part, at, 9),
    ]
}

/// Chainring, both cranks and both pedals, around a bottom bracket.
fn cranks(x: i32, y: i32) -> [MapLine; 2] {
    [
        circle(LineKind::Part, (x, y), 40),
        MapLine {
            what: LineKind::Part,
            path: format!("M{x} {y}l75 65m-20 2h44M{x} {y}l-73 -62m-22 -2h44"),
        },
    ]
}

fn tubes(paths: &[&str]) -> Vec<MapLine> {
    paths
        .iter()
        .map(|path| line(LineKind::Tube, path))
        .collect()
}

fn parts(paths: &[&str]) -> Vec<MapLine> {
    paths
        .iter()
        .map(|path| line(LineKind::Part, path))
        .collect()
}

fn faint(paths: &[&str]) -> Vec<MapLine> {
    paths
        .iter()
        .map(|path| line(LineKind::Faint, path))
        .collect()
}

fn road() -> Vec<MapLine> {
    let mut all = faint(&["M20 576H980"]);
    all.extend(wheel((215, 425), 150));
    all.extend(wheel((785, 425), 150));
    all.extend(tubes(&[
        "M388 200L445 435L215 425L392 212",
        "M389 204L690 196",
        "M710 262L445 435",
        "M686 186L714 268C726 320 748 384 785 425",
    ]));
    all.extend(parts(&[
        "M388 200L374 134",
        "M318 124C340 132 352 134 374 132C396 130 410 124 430 126",
        "M686 186L680 156L742 142",
        "M742 142C790 128 824 142 818 176C812 216 776 240 716 240",
        "M812 150C824 170 826 196 818 216",
        "M232 436L262 470L250 500",
    ]));
    all.extend(cranks(445, 435));
    all
}

fn flat_bar() -> Vec<MapLine> {
    let mut all = faint(&["M20 576H980"]);
    all.extend(wheel((225, 425), 150));
    all.extend(wheel((775, 425), 150));
    all.extend(tubes(&[
        "M394 218L445 440L225 425L398 232",
        "M396 226L672 196",
        "M694 262L445 440",
        "M666 180L700 272L775 425",
    ]));
    all.extend(parts(&[
        "M394 218L378 140",
        "M322 134C344 140 356 142 378 140C400 138 414 132 434 134",
        "M666 180L660 152L716 134",
        "M716 134C690 118 664 112 632 118",
        "M700 124C694 138 676 146 662 144",
        "M242 436L270 470L258 500",
    ]));
    all.extend(cranks(445, 440));
    all
}

fn cargo() -> Vec<MapLine> {
    let mut all = faint(&["M20 576H980", "M566 306H826L804 462H590z"]);
    all.extend(wheel((170, 445), 120));
    all.extend(wheel((885, 490), 80));
    all.extend(tubes(&[
        "M314 226L360 470L170 445L318 240",
        "M316 236L508 212",
        "M360 470L526 288",
        "M502 196L530 300L572 486H812C838 486 836 400 852 340",
        "M846 316L862 372L885 490",
    ]));
    all.extend(parts(&[
        "M314 226L302 154",
        "M246 148C268 154 280 156 302 154C324 152 338 146 358 148",
        "M502 196L498 164L470 132",
        "M470 132C440 112 408 112 378 120",
        "M450 120C444 134 426 144 408 144",
        "M548 430L800 452L866 440",
        "M420 492L440 560H470",
        "M184 456L212 488L202 514",
    ]));
    all.extend(cranks(360, 470));
    all
}

fn tandem() -> Vec<MapLine> {
    let mut all = faint(&["M20 572H1180"]);
    all.extend(wheel((200, 425), 145));
    all.extend(wheel((1000, 425), 145));
    all.extend(tubes(&[
        "M386 200L430 440L200 425L389 212",
        "M656 200L700 440H430",
        "M387 204L905 196",
        "M926 264L700 440",
        "M388 214L700 440",
        "M901 186L929 268C941 320 963 384 1000 425",
    ]));
    all.extend(parts(&[
        "M386 200L372 134",
        "M316 124C338 132 350 134 372 132C394 130 408 124 428 126",
        "M656 200L642 134",
        "M586 124C608 132 620 134 642 132C664 130 678 124 698 126",
        "M650 172L622 176L590 172C570 162 548 166 536 178",
        "M901 186L895 156L957 142",
        "M957 142C1005 128 1039 142 1033 176C1027 216 991 240 931 240",
        "M1027 150C1039 170 1041 196 1033 216",
        "M217 436L247 470L236 500",
    ]));
    all.extend(cranks(430, 440));
    all.extend(cranks(700, 440));
    all
}

fn four_wheel() -> Vec<MapLine> {
    let tyre = |x: i32, y: i32| MapLine {
        what: LineKind::Wheel,
        path: format!("M{} {}h160v36h-160z", x - 80, y - 18),
    };
    let mut all = faint(&[
        "M70 190H330V410H70z",
        "M350 140H760C850 160 900 220 900 300C900 380 850 440 760 460H350z",
    ]);
    all.extend([
        tyre(800, 108),
        tyre(800, 492),
        tyre(200, 108),
        tyre(200, 492),
    ]);
    all.extend(tubes(&[
        "M120 220H860",
        "M120 380H860",
        "M200 126V220M200 380V474M800 126V220M800 380V474",
        "M200 220V380M800 220V380",
        "M440 220V380",
    ]));
    all.extend(parts(&[
        "M370 262H440C456 262 456 338 440 338H370z",
        "M628 214V386M628 300H720",
        "M560 250V350M524 238H556M564 362H596",
        "M530 300H250",
    ]));
    all
}
