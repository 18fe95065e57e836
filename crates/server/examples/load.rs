//! How many questions a second the server answers: `cargo run --release -p server --example load -- LINK`.
//!
//! LINK is what `groundloom open --no-browser` shows. The generator keeps four connections busy for
//! five seconds and talks to loopback alone.

#![expect(clippy::print_stdout, clippy::print_stderr, reason = "a tool for the terminal")]

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::ExitCode;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

const CONNECTIONS: usize = 4;
const LASTS: Duration = Duration::from_secs(5);

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1);
    let link = arguments.next().unwrap_or_default();
    let path = arguments.next().unwrap_or_else(|| "/api/solve".to_owned());
    let body = arguments.next().unwrap_or_else(|| r#"{"vehicle":1,"state":"cranking"}"#.to_owned());
    let parts = link.strip_prefix("http://127.0.0.1:").and_then(|own| own.split_once("/#key="));
    let Some((port, key)) = parts else {
        eprintln!("usage: load http://127.0.0.1:PORT/#key=KEY [PATH [BODY]]");
        return ExitCode::from(2);
    };
    let key = key.split('&').next().unwrap_or(key);
    let request = request(port, key, &path, &body);
    let address = format!("127.0.0.1:{port}");
    let (answered, bytes) = (AtomicUsize::new(0), AtomicUsize::new(0));
    #[expect(clippy::disallowed_methods, reason = "this measures time")]
    let start = std::time::Instant::now();
    let failed = std::thread::scope(|scope| {
        let workers: Vec<_> = (0..CONNECTIONS)
            .map(|_| scope.spawn(|| keep_busy(&address, &request, start, &answered, &bytes)))
            .collect();
        workers.into_iter().filter_map(|own| own.join().ok()?.err()).next()
    });
    if let Some(error) = failed {
        eprintln!("{error}");
        return ExitCode::FAILURE;
    }
    let seconds = start.elapsed().as_secs_f64();
    let number = answered.into_inner();
    println!(
        "{number} answers in {seconds:.2} s: {:.0} a second, {} bytes each, {CONNECTIONS} connections",
        number as f64 / seconds,
        bytes.into_inner() / number.max(1)
    );
    ExitCode::SUCCESS
}

fn request(port: &str, key: &str, path: &str, body: &str) -> String {
    format!(
        "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}\r\nAuthorization: Bearer {key}\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
        body.len()
    )
}

/// Asks again and again over one connection, and counts the answers and their bytes.
fn keep_busy(
    address: &str,
    request: &str,
    start: std::time::Instant,
    answered: &AtomicUsize,
    bytes: &AtomicUsize,
) -> std::io::Result<()> {
    let mut stream = TcpStream::connect(address)?;
    stream.set_nodelay(true)?;
    let mut reader = BufReader::new(stream.try_clone()?);
    while start.elapsed() < LASTS {
        stream.write_all(request.as_bytes())?;
        bytes.fetch_add(answer(&mut reader)?, Ordering::Relaxed);
        answered.fetch_add(1, Ordering::Relaxed);
    }
    Ok(())
}

/// Reads one answer; its length, or an error when it is no success.
fn answer(reader: &mut BufReader<TcpStream>) -> std::io::Result<usize> {
    let (mut line, mut length, mut first) = (String::new(), 0, true);
    loop {
        line.clear();
        reader.read_line(&mut line)?;
        if first && !line.starts_with("HTTP/1.1 200") {
            return Err(std::io::Error::other(line));
        }
        first = false;
        if let Some(own) = line.strip_prefix("content-length: ") {
            length = own.trim().parse().map_err(std::io::Error::other)?;
        }
        if line.len() <= 2 {
            break;
        }
    }
    let mut body = vec![0; length];
    reader.read_exact(&mut body)?;
    Ok(length)
}
