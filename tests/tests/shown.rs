//! Torques at a prompt, in the unit and with the decimal mark that the shop has chosen.
#![allow(clippy::unwrap_used)]

use pullmark_tests::{Command, Stand, plans};

#[test]
fn torques_are_shown_as_the_shop_has_chosen() {
    let stand = Stand::begin(plans::SMALL);
    let settings = stand.shop.folder().join("settings");
    std::fs::create_dir_all(settings.join("pullmark")).unwrap();
    let show = |more: &[&str]| {
        Command::pullmark(stand.shop.folder())
            .args(["build", "show", &stand.build])
            .args(more)
            .arg("--data")
            .arg(stand.shop.data())
            .env("XDG_CONFIG_HOME", &settings)
            .run()
    };
    show(&[]).ok().says(&["aim ", " N·m"]);
    let view = show(&["--json"]).ok().json();
    let chosen = "[shop]\ntorque_unit = \"lbf·in\"\ndecimal = \",\"\n";
    std::fs::write(settings.join("pullmark/pullmarkd.toml"), chosen).unwrap();
    let shown = show(&[]);
    shown.ok().says(&["aim ", " lbf·in"]);
    assert!(!shown.out.contains("N·m"), "{}", shown.out);
    let figures = shown.out.matches(',').count();
    assert!(figures > 2, "{}", shown.out);
    assert_eq!(
        show(&["--json"]).ok().json(),
        view,
        "what programs read stays as it is"
    );
}
