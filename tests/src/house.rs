//! A shop with people and, on the network, devices: what tests of either need.

use crate::{Answer, Http, MECHANIC, Network, SECOND, Shop, ledger};
use pullmark_schema::api::{
    Act, ConfirmedAct, DevicesView, NewDevice, NewPerson, PairingCode, PairingView, Secret,
};
use pullmark_schema::entry::Event;
use serde::Serialize;

/// The mechanic's PIN.
pub const PIN: &str = "482916";
/// The second mechanic's.
pub const SECOND_PIN: &str = "739150";
/// The header of what is sent.
pub const JSON: (&str, &str) = ("Content-Type", "application/json");

/// Nothing of this may be seen by who is not let in.
pub const SECRETS: [&str; 6] = ["pullmark", "0.1.0", "bench-1", MECHANIC, SECOND, "ferry"];

/// Sends something.
pub fn post(http: &Http, path: &str, body: &impl Serialize) -> Answer {
    http.post(path, &serde_json::to_vec(body).unwrap()).unwrap()
}

/// It is refused so, in words.
#[track_caller]
pub fn is_refused(answer: &Answer, status: u16, code: &str) {
    assert_eq!(answer.status, status, "{}", answer.text());
    let problem = answer.json();
    assert_eq!(problem["type"], code, "{problem}");
    assert!(
        !problem["detail"].as_str().unwrap_or_default().is_empty(),
        "{problem}"
    );
}

/// It tells nothing about the bench.
#[track_caller]
pub fn leaks_nothing(answer: &Answer) {
    let said = format!("{:?} {}", answer.headers, answer.text()).to_lowercase();
    for secret in SECRETS {
        assert!(
            !said.contains(&secret.to_lowercase()),
            "{secret:?} in {said}"
        );
    }
}

/// Enters a person.
pub fn enter(shop: &Shop, name: &str, pin: &str, by: Option<&str>) {
    let person = NewPerson {
        name: name.into(),
        pin: Secret(pin.into()),
        by: by.map(str::to_owned),
    };
    let answer = post(&shop.http(), "/v1/people", &person);
    assert_eq!(answer.status, 200, "{}", answer.text());
}

/// A shop on the network, with its mechanics.
pub fn shop_on_the_network() -> Shop {
    let shop = Shop::open_with(&["--lan", "127.0.0.1:0"]);
    enter(&shop, MECHANIC, PIN, None);
    enter(&shop, SECOND, SECOND_PIN, Some(MECHANIC));
    shop
}

/// What the bench says of the network and its devices.
pub fn devices(shop: &Shop) -> DevicesView {
    serde_json::from_slice(&shop.http().get("/v1/devices").body).unwrap()
}

/// The way in from the network.
pub fn network(shop: &Shop) -> (Http, Network) {
    let network = Network::of(&devices(shop), &shop.data());
    (Http::Network(network.clone()), network)
}

/// A code for a device that is called so.
pub fn code(shop: &Shop, name: &str) -> String {
    let device = NewDevice {
        name: name.into(),
        by: MECHANIC.into(),
    };
    let answer = post(&shop.http(), "/v1/devices/pairing", &device);
    assert_eq!(answer.status, 200, "{}", answer.text());
    let view: PairingView = serde_json::from_slice(&answer.body).unwrap();
    assert_eq!(Some(view.fingerprint), devices(shop).fingerprint);
    view.code
}

/// A device of the network, which says from which page it asks, as browsers do.
pub struct Tablet {
    /// How it reaches the bench.
    pub http: Http,
    /// The page from which it asks.
    pub origin: String,
    /// What the bench gave it.
    pub cookie: Option<String>,
}

impl Tablet {
    /// One that is not paired.
    pub fn at(shop: &Shop) -> Self {
        let (http, network) = network(shop);
        let origin = format!("https://{}", network.address);
        Self {
            http,
            origin,
            cookie: None,
        }
    }

    /// What a browser would send along.
    pub fn headers(&self) -> Vec<(&str, &str)> {
        let cookie = self
            .cookie
            .as_ref()
            .map(|cookie| ("Cookie", cookie.as_str()));
        cookie.into_iter().collect()
    }

    /// Asks.
    pub fn get(&self, path: &str) -> Answer {
        self.http
            .request("GET", path, &self.headers(), b"")
            .unwrap()
    }

    /// Sends something.
    pub fn post(&self, path: &str, body: &impl Serialize) -> Answer {
        let body = serde_json::to_vec(body).unwrap();
        let own = [JSON, ("Origin", self.origin.as_str())];
        let headers = [self.headers(), own.to_vec()].concat();
        self.http.request("POST", path, &headers, &body).unwrap()
    }

    /// Types a code.
    pub fn types(&self, code: &str) -> Answer {
        let code = Secret(code.into());
        self.post("/v1/pairing", &PairingCode { code })
    }

    /// Types a code, and keeps what a browser would.
    pub fn pair(&mut self, code: &str) {
        let answer = self.types(code);
        assert_eq!(answer.status, 200, "{}", answer.text());
        let cookie = answer
            .header("set-cookie")
            .expect("there is a cookie")
            .to_owned();
        for word in [
            "__Host-",
            "; HttpOnly",
            "; Secure",
            "; SameSite=Strict",
            "; Path=/",
        ] {
            assert!(cookie.contains(word), "{cookie}");
        }
        self.cookie = cookie.split(';').next().map(str::to_owned);
    }
}

/// A device that was let in.
pub fn paired(shop: &Shop, name: &str) -> Tablet {
    let mut tablet = Tablet::at(shop);
    tablet.pair(&code(shop, name));
    tablet
}

/// Seals the build of the tests.
pub fn seal(by: &str) -> Act {
    Act::Seal {
        build: "ferry".into(),
        by: by.into(),
    }
}

/// An act with a PIN.
pub fn confirmed(act: Act, pin: &str) -> ConfirmedAct {
    ConfirmedAct {
        act,
        pin: Secret(pin.into()),
    }
}

/// Every event of the ledger, read without the daemon.
pub fn events(shop: &Shop) -> Vec<Event> {
    let entries = ledger::entries(&shop.data());
    entries.into_iter().map(|entry| entry.event).collect()
}
