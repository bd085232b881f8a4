//! Every place that a plan can name with `at`, and where it lies on each kind of frame. The names are our own; the parts
//! are called as the trade calls them.

use super::FrameKind;

/// From the left and from above, in the drawing's units.
type Point = (u16, u16);

/// There is no such place on this kind of frame.
const NO: Point = (0, 0);

/// A place that a plan can name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// As a plan names it.
    pub name: &'static str,
    /// For people.
    pub title: &'static str,
    /// In the order of [`FrameKind::ALL`].
    points: [Point; 5],
}

impl Place {
    /// Where it lies on a kind of frame, if it is there.
    pub fn on(&self, frame: FrameKind) -> Option<Point> {
        let at = FrameKind::ALL.iter().position(|kind| *kind == frame)?;
        self.points.get(at).copied().filter(|point| *point != NO)
    }
}

const fn at(name: &'static str, title: &'static str, points: [Point; 5]) -> Place {
    Place {
        name,
        title,
        points,
    }
}

/// Every place. Two-wheelers are drawn from their right side, which is the side of the chain, with the front to the
/// right; the cycle on four wheels from above, with the front to the right as well.
#[rustfmt::skip]
pub const PLACES: [Place; 93] = [
    //                                                          road        flat-bar    cargo       tandem       four-wheel
    // the front end
    at("headset", "headset", [                                  (702, 230), (684, 226), (518, 248), (918, 230),  NO]),
    at("steerer", "steerer", [                                  (684, 168), (664, 166), (500, 178), (899, 168),  NO]),
    at("stem-rear", "stem, at the steerer", [                   (694, 150), (674, 146), (508, 156), (909, 150),  NO]),
    at("stem-front", "stem, at the bar", [                      (742, 142), (716, 134), (470, 132), (957, 142),  NO]),
    at("bar", "handlebar", [                                    (770, 138), (706, 116), (452, 118), (985, 138),  (640, 300)]),
    at("bar-left", "handlebar, left end", [                     (752, 244), (650, 110), (396, 108), (967, 244),  (628, 214)]),
    at("bar-right", "handlebar, right end", [                   (722, 240), (640, 128), (388, 128), (937, 240),  (628, 386)]),
    at("lever-left", "brake lever, left", [                     (812, 152), (690, 102), (424, 100), (1027, 152), (648, 232)]),
    at("lever-right", "brake lever, right", [                   (806, 178), (686, 140), (420, 142), (1021, 178), (648, 368)]),
    at("lamp-front", "front lamp", [                            (762, 222), (752, 196), (900, 330), (977, 222),  (950, 300)]),
    // the fork and the front wheel
    at("fork", "fork", [                                        (738, 322), (722, 318), (866, 400), (953, 322),  NO]),
    at("fork-left", "fork, left leg", [                         (758, 342), (742, 338), (884, 414), (973, 342),  NO]),
    at("fork-right", "fork, right leg", [                       (746, 366), (730, 362), (870, 432), (961, 366),  NO]),
    at("hub-front", "front axle", [                             (785, 425), (775, 425), (885, 490), (1000, 425), NO]),
    at("rotor-front", "front brake rotor", [                    (812, 446), (802, 446), (908, 506), (1027, 446), NO]),
    at("calliper-front", "front brake calliper", [              (756, 408), (746, 408), (862, 472), (971, 408),  NO]),
    at("guard-front", "front mudguard", [                       (838, 266), (828, 266), (952, 412), (1053, 266), NO]),
    // saddle and seat post
    at("saddle", "saddle", [                                    (372, 122), (376, 128), (300, 142), (640, 122),  NO]),
    at("seat-post", "seat post", [                              (380, 168), (386, 182), (306, 190), (648, 170),  NO]),
    at("seat-clamp", "seat clamp", [                            (390, 206), (396, 224), (316, 232), (657, 206),  NO]),
    at("lamp-rear", "rear lamp", [                              (336, 176), (340, 190), (262, 196), (330, 176),  (50, 300)]),
    // the frame
    at("frame", "frame", [                                      (556, 270), (560, 282), (424, 300), (560, 320),  (470, 120)]),
    at("top-tube", "top tube", [                                (540, 199), (540, 211), (412, 222), (520, 206),  NO]),
    at("down-tube", "down tube", [                              (592, 338), (590, 340), (452, 392), (816, 354),  NO]),
    at("seat-tube", "seat tube", [                              (414, 310), (418, 322), (338, 340), (680, 310),  NO]),
    at("seat-stay", "seat stay", [                              (304, 312), (306, 322), (244, 334), (292, 312),  NO]),
    at("chain-stay", "chain stay", [                            (346, 434), (346, 434), (270, 462), (330, 436),  NO]),
    at("dropout", "dropout", [                                  (226, 446), (236, 446), (182, 464), (212, 446),  NO]),
    at("pivot", "suspension pivot", [                           NO,         (372, 366), NO,         NO,          NO]),
    at("shock", "shock", [                                      NO,         (466, 300), NO,         NO,          NO]),
    at("battery", "battery", [                                  (566, 360), (556, 370), (410, 372), (560, 386),  (330, 440)]),
    at("motor", "motor", [                                      (472, 410), (474, 414), (386, 436), (728, 410),  (250, 300)]),
    at("bottle-cage", "bottle cage", [                          (528, 360), (522, 384), (356, 386), (772, 386),  NO]),
    // the drive
    at("bottom-bracket", "bottom bracket", [                    (445, 435), (445, 440), (360, 470), (700, 440),  (560, 300)]),
    at("chainring", "chainring", [                              (472, 466), (472, 470), (386, 498), (728, 468),  (530, 300)]),
    at("crank-left", "crank, left", [                           (414, 408), (414, 414), (330, 446), (670, 414),  (560, 262)]),
    at("crank-right", "crank, right", [                         (484, 444), (484, 452), (398, 484), (738, 450),  (560, 338)]),
    at("pedal-left", "pedal, left", [                           (372, 372), (372, 378), (292, 412), (628, 378),  (534, 238)]),
    at("pedal-right", "pedal, right", [                         (520, 500), (520, 504), (432, 530), (774, 504),  (586, 362)]),
    at("mech-front", "front derailleur", [                      (430, 380), (432, 388), (346, 418), (686, 386),  NO]),
    at("mech-rear", "rear derailleur", [                        (250, 478), (258, 478), (206, 498), (236, 478),  (330, 330)]),
    at("chain-guard", "chain guard", [                          (388, 462), (388, 466), (310, 494), (560, 460),  (500, 330)]),
    // the rear wheel and what hangs at it
    at("hub-rear", "rear axle", [                               (215, 425), (225, 425), (170, 445), (200, 425),  NO]),
    at("rotor-rear", "rear brake rotor", [                      (192, 448), (202, 448), (150, 466), (177, 448),  NO]),
    at("calliper-rear", "rear brake calliper", [                (262, 396), (270, 398), (212, 418), (248, 396),  NO]),
    at("guard-rear", "rear mudguard", [                         (110, 316), (120, 316), (82, 358),  (95, 316),   NO]),
    at("rack", "luggage rack", [                                (196, 248), (206, 248), (150, 290), (182, 248),  NO]),
    at("stand", "kick stand", [                                 (330, 490), (330, 494), (440, 560), (320, 490),  NO]),
    // the cargo bike's own
    at("box", "box", [                                          NO,         NO,         (690, 380), NO,          (140, 300)]),
    at("boom", "boom", [                                        NO,         NO,         (640, 486), NO,          NO]),
    at("steering", "steering linkage", [                        NO,         NO,         (800, 452), NO,          (720, 300)]),
    at("steering-rear", "steering linkage, at the bar", [       NO,         NO,         (548, 430), NO,          NO]),
    at("head-front", "front head", [                            NO,         NO,         (852, 350), NO,          NO]),
    // the rear rider of a tandem
    at("saddle-stoker", "stoker's saddle", [                    NO,         NO,         NO,         (370, 122),  NO]),
    at("seat-post-stoker", "stoker's seat post", [              NO,         NO,         NO,         (378, 170),  NO]),
    at("seat-clamp-stoker", "stoker's seat clamp", [            NO,         NO,         NO,         (387, 206),  NO]),
    at("stem-stoker", "stoker's stem", [                        NO,         NO,         NO,         (622, 176),  NO]),
    at("bar-stoker", "stoker's handlebar", [                    NO,         NO,         NO,         (566, 168),  NO]),
    at("bottom-bracket-stoker", "stoker's bottom bracket", [    NO,         NO,         NO,         (430, 440),  NO]),
    at("chainring-stoker", "stoker's chainring", [              NO,         NO,         NO,         (458, 470),  NO]),
    at("crank-left-stoker", "stoker's crank, left", [           NO,         NO,         NO,         (400, 414),  NO]),
    at("crank-right-stoker", "stoker's crank, right", [         NO,         NO,         NO,         (468, 450),  NO]),
    at("pedal-left-stoker", "stoker's pedal, left", [           NO,         NO,         NO,         (358, 378),  NO]),
    at("pedal-right-stoker", "stoker's pedal, right", [         NO,         NO,         NO,         (504, 504),  NO]),
    // the cycle on four wheels
    at("hub-front-left", "front left axle", [                   NO, NO, NO, NO,                                  (800, 120)]),
    at("hub-front-right", "front right axle", [                 NO, NO, NO, NO,                                  (800, 480)]),
    at("hub-rear-left", "rear left axle", [                     NO, NO, NO, NO,                                  (200, 120)]),
    at("hub-rear-right", "rear right axle", [                   NO, NO, NO, NO,                                  (200, 480)]),
    at("rotor-front-left", "front left rotor", [                NO, NO, NO, NO,                                  (800, 150)]),
    at("rotor-front-right", "front right rotor", [              NO, NO, NO, NO,                                  (800, 450)]),
    at("rotor-rear-left", "rear left rotor", [                  NO, NO, NO, NO,                                  (200, 150)]),
    at("rotor-rear-right", "rear right rotor", [                NO, NO, NO, NO,                                  (200, 450)]),
    at("calliper-front-left", "front left calliper", [          NO, NO, NO, NO,                                  (770, 150)]),
    at("calliper-front-right", "front right calliper", [        NO, NO, NO, NO,                                  (770, 450)]),
    at("calliper-rear-left", "rear left calliper", [            NO, NO, NO, NO,                                  (230, 150)]),
    at("calliper-rear-right", "rear right calliper", [          NO, NO, NO, NO,                                  (230, 450)]),
    at("guard-front-left", "front left mudguard", [             NO, NO, NO, NO,                                  (800, 60)]),
    at("guard-front-right", "front right mudguard", [           NO, NO, NO, NO,                                  (800, 540)]),
    at("guard-rear-left", "rear left mudguard", [               NO, NO, NO, NO,                                  (200, 60)]),
    at("guard-rear-right", "rear right mudguard", [             NO, NO, NO, NO,                                  (200, 540)]),
    at("arm-front-left", "front left suspension arm", [         NO, NO, NO, NO,                                  (790, 210)]),
    at("arm-front-right", "front right suspension arm", [       NO, NO, NO, NO,                                  (790, 390)]),
    at("arm-rear-left", "rear left suspension arm", [           NO, NO, NO, NO,                                  (210, 210)]),
    at("arm-rear-right", "rear right suspension arm", [         NO, NO, NO, NO,                                  (210, 390)]),
    at("seat", "seat", [                                        NO, NO, NO, NO,                                  (420, 300)]),
    at("cab", "cab", [                                          NO, NO, NO, NO,                                  (480, 480)]),
    at("door-left", "door, left", [                             NO, NO, NO, NO,                                  (600, 120)]),
    at("door-right", "door, right", [                           NO, NO, NO, NO,                                  (600, 480)]),
    at("screen", "windscreen", [                                NO, NO, NO, NO,                                  (870, 300)]),
    at("roof", "roof", [                                        NO, NO, NO, NO,                                  (400, 200)]),
    at("chain-tensioner", "chain tensioner", [                  NO, NO, NO, NO,                                  (390, 330)]),
    at("shaft-rear", "rear shaft", [                            NO, NO, NO, NO,                                  (290, 270)]),
    at("parking-brake", "parking brake", [                      NO, NO, NO, NO,                                  (470, 380)]),
];
