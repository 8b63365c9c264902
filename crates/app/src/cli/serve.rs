//! `demo` and `serve`: the gym over HTTP.

use crate::cli::invented;
use crate::flow::clock::Clock;
use crate::flow::house::House;
use crate::flow::keeper::Keeper;
use crate::flow::trials;
use crate::web::{self, Site};
use clap::Args;
use cornerwork_io::catalogue::safety_rules::SafetyRules;
use cornerwork_io::store::SqliteStore;
use jiff::tz::TimeZone;
use std::net::{IpAddr, SocketAddr, UdpSocket};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;
use tokio::net::TcpListener;
use tokio_util::sync::CancellationToken;

/// What `demo` takes.
#[derive(Args)]
pub(super) struct DemoArguments {
    /// Folder of the demo gym; made and filled if it is empty.
    #[arg(long, default_value = "gym")]
    data: PathBuf,
    /// Address to listen on.
    #[arg(long, default_value = "127.0.0.1:8080")]
    listen: SocketAddr,
    /// Do not open a browser.
    #[arg(long)]
    no_open: bool,
}

/// What `serve` takes.
#[derive(Args)]
pub(super) struct ServeArguments {
    /// Folder of the gym; made if it does not exist.
    #[arg(long, default_value = "gym")]
    data: PathBuf,
    /// Address to listen on; 0.0.0.0:8080 lets the gym's tablets in.
    #[arg(long, default_value = "127.0.0.1:8080")]
    listen: SocketAddr,
}

/// Serves the invented gym.
pub(super) fn demo(arguments: &DemoArguments) -> Result<(), String> {
    let open = !arguments.no_open;
    run(&arguments.data, arguments.listen, Story::Invented, open)
}

/// Serves a gym.
pub(super) fn serve(arguments: &ServeArguments) -> Result<(), String> {
    run(&arguments.data, arguments.listen, Story::Real, false)
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Story {
    Invented,
    Real,
}

/// Threads that answer, more than a small machine has processors: a page that takes long to draw
/// holds one, and the system lets the others have their turn.
const ANSWERING: usize = 8;

fn run(data: &Path, listen: SocketAddr, story: Story, open: bool) -> Result<(), String> {
    tracing_subscriber::fmt()
        .with_max_level(tracing::Level::WARN)
        .with_writer(std::io::stderr)
        .init();
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(ANSWERING)
        .enable_all()
        .build()
        .map_err(|error| error.to_string())?;
    runtime.block_on(async {
        let site = site(data, listen, story).await?;
        let listener = TcpListener::bind(listen).await.map_err(|error| {
            format!("Cannot listen on {listen}: {error}. Choose another with --listen.")
        })?;
        let address = listener.local_addr().unwrap_or(listen);
        announce(address, &site.addresses, data);
        if open {
            open_browser(&format!("http://{address}/"));
        }
        answer(listener, site).await
    })
}

async fn site(data: &Path, listen: SocketAddr, story: Story) -> Result<Site, String> {
    let store = SqliteStore::open(data).await.map_err(|error| error.to_string())?;
    let clock = match story {
        Story::Real => Clock::machine(TimeZone::system()),
        Story::Invented => invented::fill(&store, data).await?,
    };
    let rules = SafetyRules::in_folder(data).map_err(|error| error.to_string())?;
    let house = Arc::new(House::open(store, clock, rules).await?);
    tokio::spawn(trials::keep_up(Arc::clone(&house)));
    tokio::spawn(say_what_is_damaged(house.keeper.clone(), data.to_owned()));
    let stopping = CancellationToken::new();
    Ok(Site { house, addresses: Arc::new(reachable(listen)), stopping })
}

/// Looks at every byte of the record beside the work, and says what is wrong with it.
async fn say_what_is_damaged(keeper: Keeper, data: PathBuf) {
    match keeper.check().await {
        Ok(found) if found.is_sound() => {}
        Ok(found) => eprintln!("{}", found.sentence(&data)),
        Err(error) => eprintln!("The record could not be looked at: {error}"),
    }
}

/// How long what was begun may take once the program is told to stop. A phone that sends half a
/// form must not keep it running.
const TIME_TO_FINISH: Duration = Duration::from_secs(3);

/// Answers until the program is told to stop, then lets what was begun finish.
async fn answer(listener: TcpListener, site: Site) -> Result<(), String> {
    let stopping = site.stopping.clone();
    let keeper = site.house.keeper.clone();
    let late = {
        let stopping = stopping.clone();
        async move {
            stopping.cancelled().await;
            tokio::time::sleep(TIME_TO_FINISH).await;
        }
    };
    let router = web::router(site);
    let stop = async move {
        stop_signal().await;
        stopping.cancel();
    };
    let served = axum::serve(listener, router).with_graceful_shutdown(stop);
    let ended = tokio::select! {
        ended = async { served.await } => ended.map_err(|error| format!("The server stopped: {error}.")),
        () = late => Ok(()),
    };
    keeper.close().await;
    ended
}

async fn stop_signal() {
    let interrupt = tokio::signal::ctrl_c();
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut terminate) = signal(SignalKind::terminate()) {
            tokio::select! {
                _ = interrupt => {}
                _ = terminate.recv() => {}
            }
            return;
        }
    }
    let _ = interrupt.await;
}

fn announce(address: SocketAddr, others: &[String], data: &Path) {
    eprintln!("Cornerwork: http://{address}/   (record in {})", data.display());
    for other in others {
        eprintln!("On the gym's network: {other}");
    }
    eprintln!("Stop with Ctrl+C.");
}

/// Addresses of this computer on the network, when it listens to more than itself. Asking the
/// system which way it would send a packet sends none.
fn reachable(listen: SocketAddr) -> Vec<String> {
    let address = if listen.ip().is_unspecified() {
        UdpSocket::bind("0.0.0.0:0")
            .and_then(|socket| socket.connect("192.0.2.1:9").and_then(|()| socket.local_addr()))
            .map(|address| address.ip())
            .ok()
    } else {
        Some(listen.ip())
    };
    let other_than_itself = |ip: &IpAddr| !ip.is_loopback() && !ip.is_unspecified();
    address
        .filter(other_than_itself)
        .map(|ip| format!("http://{}/", SocketAddr::new(ip, listen.port())))
        .into_iter()
        .collect()
}

/// Asks the desktop to show a page; without a desktop nothing happens.
fn open_browser(address: &str) {
    let command = if cfg!(target_os = "macos") {
        "open"
    } else if cfg!(windows) {
        "explorer"
    } else {
        "xdg-open"
    };
    let quiet = std::process::Stdio::null;
    let _ =
        std::process::Command::new(command).arg(address).stdout(quiet()).stderr(quiet()).spawn();
}
