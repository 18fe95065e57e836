//! A server of its own for each test, and a client that sends exactly the bytes it is told to.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{IpAddr, Ipv4Addr, TcpStream};
use std::path::PathBuf;
use std::sync::mpsc;
use std::thread::JoinHandle;
use std::time::Duration;

use garage::Garage;
use serde_json::Value;
use server::{Options, Ready, Template};
use tokio::sync::oneshot;

pub(crate) const VEHICLE: &str = include_str!("../../../../examples/utility-cart.toml");
pub(crate) const READINGS: &str = "";

/// A running server; it ends with the test.
pub(crate) struct Served {
    pub port: u16,
    pub link: String,
    pub key: String,
    pub pairing: Option<String>,
    pub garage: PathBuf,
    stop: Option<oneshot::Sender<()>>,
    thread: Option<JoinHandle<()>>,
    _folder: tempfile::TempDir,
}

/// What came back.
#[derive(Debug)]
pub(crate) struct Answer {
    pub status: u16,
    pub head: String,
    pub body: Vec<u8>,
}

impl Answer {
    pub(crate) fn json(&self) -> Value {
        serde_json::from_slice(&self.body)
            .unwrap_or_else(|error| panic!("{error}: {}", String::from_utf8_lossy(&self.body)))
    }

    /// The code of an error.
    pub(crate) fn code(&self) -> String {
        self.json()["error"]["code"].as_str().unwrap_or_default().to_owned()
    }
}

/// How long a busy machine may take: only what never answers fails.
const PATIENCE: Duration = Duration::from_secs(300);

impl Served {
    /// A server open to this machine alone.
    pub(crate) fn new() -> Self {
        Self::with(None, Duration::ZERO)
    }

    /// A server that pairs devices; loopback stands for the network.
    pub(crate) fn shared() -> Self {
        Self::slow(Duration::ZERO)
    }

    /// The same, whose answers rest each time they tell how far they are: a question lasts on any machine.
    pub(crate) fn slow(pace: Duration) -> Self {
        Self::with(Some(IpAddr::V4(Ipv4Addr::LOCALHOST)), pace)
    }

    fn with(share: Option<IpAddr>, pace: Duration) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let garage = folder.path().join("garage.db");
        let options = Options {
            garage: garage.clone(),
            share,
            port: Some(0),
            vehicle: None,
            layouts: vec![Template { name: "cart", what: "a cart", text: VEHICLE, readings: None }],
            examples: vec![Template {
                name: "example",
                what: "an example",
                text: VEHICLE,
                readings: Some(READINGS),
            }],
            program: "groundloom test".to_owned(),
            pace,
        };
        let (stop, stopped) = oneshot::channel::<()>();
        let (tell, told) = mpsc::channel::<Ready>();
        let thread = std::thread::spawn(move || {
            let ready = |ready: &Ready| tell.send(ready.clone()).unwrap();
            let stopped = async {
                let _ = stopped.await;
            };
            server::run(options, ready, stopped).unwrap();
        });
        let ready = told.recv_timeout(PATIENCE).unwrap();
        let link = ready.link.strip_prefix("http://127.0.0.1:").unwrap();
        let (port, key) = link.split_once("/#key=").unwrap();
        Self {
            port: port.parse().unwrap(),
            key: key.to_owned(),
            link: ready.link.clone(),
            pairing: ready.pairing.map(|own| own.link.split_once("#pair=").unwrap().1.to_owned()),
            garage,
            stop: Some(stop),
            thread: Some(thread),
            _folder: folder,
        }
    }

    /// Sends bytes as they are.
    pub(crate) fn raw(&self, bytes: &[u8]) -> Answer {
        let mut stream = self.connect();
        // The server may answer and close before it has all.
        let _ = stream.write_all(bytes);
        read(&mut BufReader::new(stream))
    }

    pub(crate) fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        stream
    }

    /// A request as the page makes it, with a key or without.
    pub(crate) fn head(&self, method: &str, path: &str, key: Option<&str>, more: &str) -> String {
        let own = format!("localhost:{}", self.port);
        let key = key.map_or_else(String::new, |key| format!("Authorization: Bearer {key}\r\n"));
        format!(
            "{method} {path} HTTP/1.1\r\nHost: {own}\r\nOrigin: http://{own}\r\nConnection: close\r\n{key}{more}\r\n"
        )
    }

    /// A request with a key and a body in JSON.
    pub(crate) fn ask_as(&self, key: &str, method: &str, path: &str, body: &str) -> Answer {
        let more = format!("Content-Type: application/json\r\nContent-Length: {}\r\n", body.len());
        self.raw(format!("{}{body}", self.head(method, path, Some(key), &more)).as_bytes())
    }

    /// The same with the key of the desk.
    pub(crate) fn ask(&self, method: &str, path: &str, body: &str) -> Answer {
        self.ask_as(&self.key, method, path, body)
    }

    pub(crate) fn get(&self, path: &str) -> Answer {
        self.raw(self.head("GET", path, Some(&self.key), "").as_bytes())
    }

    /// Begins a vehicle and gives its number.
    pub(crate) fn vehicle(&self) -> i64 {
        let made = self.ask("POST", "/api/vehicles", r#"{"layout":"cart"}"#);
        assert_eq!(made.status, 201, "{made:?}");
        made.json()["vehicle"]["id"].as_i64().unwrap()
    }

    /// Everything that is stored, as one text: equal before and after means that nothing was stored.
    pub(crate) fn stored(&self) -> String {
        let garage = Garage::open(&self.garage).unwrap();
        let mut all =
            format!("{:?}{:?}", garage.vehicles(true).unwrap(), garage.devices().unwrap());
        for own in garage.vehicles(true).unwrap() {
            all.push_str(&format!(
                "{:?}{:?}{:?}{:?}{:?}{:?}",
                garage.history(own.id).unwrap(),
                garage.readings(own.id).unwrap(),
                garage.readings_files(own.id).unwrap(),
                garage.work(own.id).unwrap(),
                garage.photos(own.id).unwrap(),
                garage.results(own.id).unwrap(),
            ));
        }
        all
    }

    /// Pairs a device in a role: its key.
    pub(crate) fn pair(&self, role: &str) -> String {
        let body = format!(r#"{{"role":"{role}"}}"#);
        let opened = self.ask("POST", "/api/pairings", &body).json();
        let code = opened["link"].as_str().unwrap().split_once("#pair=").unwrap().1;
        let paired = self.pair_with(code, "phone");
        assert_eq!(paired.status, 200, "{paired:?}");
        paired.json()["key"].as_str().unwrap().to_owned()
    }

    pub(crate) fn pair_with(&self, code: &str, name: &str) -> Answer {
        let body = serde_json::json!({ "code": code, "name": name }).to_string();
        let more = format!("Content-Type: application/json\r\nContent-Length: {}\r\n", body.len());
        self.raw(format!("{}{body}", self.head("POST", "/api/pair", None, &more)).as_bytes())
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        if let Some(stop) = self.stop.take() {
            let _ = stop.send(());
        }
        if let Some(thread) = self.thread.take() {
            let ended = thread.join();
            if !std::thread::panicking() {
                ended.unwrap();
            }
        }
    }
}

/// Reads one answer to its end.
pub(crate) fn read(stream: &mut BufReader<TcpStream>) -> Answer {
    let (mut head, mut line) = (String::new(), String::new());
    while stream.read_line(&mut line).unwrap_or(0) > 2 {
        head.push_str(&line.to_ascii_lowercase());
        line.clear();
    }
    let status = head.split(' ').nth(1).and_then(|own| own.parse().ok()).unwrap_or(0);
    let length = head
        .lines()
        .find_map(|own| own.strip_prefix("content-length: "))
        .and_then(|own| own.trim().parse::<usize>().ok());
    let mut body = vec![0; length.unwrap_or(0)];
    let _ = stream.read_exact(&mut body);
    Answer { status, head, body }
}
