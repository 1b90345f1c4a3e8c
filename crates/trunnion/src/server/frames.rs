//! Reads the messages of standard input before the server library does.
//!
//! The library stops at the first message that it cannot read, and does not
//! stop at `exit`. Here a message that is none is left out, and `exit` ends
//! the input.

use serde_json::Value;
use tokio::io::{AsyncBufReadExt, AsyncReadExt, AsyncWrite, AsyncWriteExt, BufReader};

/// The largest message that is read, in bytes.
const LARGEST: usize = 256 << 20;

/// How the input ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The editor said `exit` after `shutdown`, or went away.
    Orderly,
    /// It said `exit` without `shutdown`.
    Abrupt,
}

/// Hands on every message that is one, until `exit` or the end of the input.
pub async fn hand_on(input: impl tokio::io::AsyncRead + Unpin, mut output: impl AsyncWrite + Unpin) -> End {
    let mut input = BufReader::new(input);
    let mut shut = false;
    while let Some(body) = message(&mut input).await {
        let Ok(value) = serde_json::from_slice::<Value>(&body) else { continue };
        if !is_message(&value) {
            continue;
        }
        match value.get("method").and_then(Value::as_str) {
            Some("exit") => return if shut { End::Orderly } else { End::Abrupt },
            Some("shutdown") => shut = true,
            _ => {}
        }
        let head = format!("Content-Length: {}\r\n\r\n", body.len());
        let written = async {
            output.write_all(head.as_bytes()).await?;
            output.write_all(&body).await?;
            output.flush().await
        };
        if written.await.is_err() {
            break;
        }
    }
    End::Orderly
}

/// The body of the next message; none at the end of the input.
async fn message(input: &mut BufReader<impl tokio::io::AsyncRead + Unpin>) -> Option<Vec<u8>> {
    let mut length = None;
    loop {
        let mut line = Vec::new();
        // A header line is short; one without end is cut off.
        let read = (&mut *input).take(8192).read_until(b'\n', &mut line).await.ok()?;
        if read == 0 {
            return None;
        }
        let line = String::from_utf8_lossy(&line);
        let line = line.trim();
        if line.is_empty() {
            match length.take() {
                Some(length) => return body(input, length).await,
                None => continue,
            }
        }
        if let Some((name, value)) = line.split_once(':')
            && name.eq_ignore_ascii_case("content-length")
        {
            length = value.trim().parse::<usize>().ok();
        }
    }
}

async fn body(input: &mut BufReader<impl tokio::io::AsyncRead + Unpin>, length: usize) -> Option<Vec<u8>> {
    if length > LARGEST {
        // Too much to hold: it is read and left out.
        let mut rest = (&mut *input).take(length as u64);
        tokio::io::copy(&mut rest, &mut tokio::io::sink()).await.ok()?;
        return Some(Vec::new());
    }
    let mut body = vec![0; length];
    input.read_exact(&mut body).await.ok()?;
    Some(body)
}

/// Whether a value is a request, a notification or a response.
fn is_message(value: &Value) -> bool {
    let Some(object) = value.as_object() else { return false };
    let id = object.get("id").is_none_or(|it| it.is_i64() || it.is_string() || it.is_null());
    let params = object.get("params").is_none_or(|it| it.is_object() || it.is_array() || it.is_null());
    let asks = object.get("method").is_some_and(Value::is_string);
    let answers =
        object.contains_key("id") && (object.contains_key("result") || object.contains_key("error"));
    let version = object.get("jsonrpc").is_some_and(|it| it == "2.0");
    version && id && params && (asks || answers)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn frame(body: &str) -> String {
        format!("Content-Length: {}\r\n\r\n{body}", body.len())
    }

    fn handed_on(input: &str) -> (String, End) {
        let runtime = tokio::runtime::Builder::new_current_thread().build().expect("a runtime");
        runtime.block_on(async {
            let mut output = Vec::new();
            let end = hand_on(input.as_bytes(), &mut output).await;
            (String::from_utf8(output).expect("text"), end)
        })
    }

    #[test]
    fn what_is_no_message_is_left_out() {
        let good = frame(r#"{"jsonrpc":"2.0","method":"initialized","params":{}}"#);
        let input = format!("{}{good}{}{good}", frame("not JSON"), frame(r#"{"jsonrpc":"2.0"}"#));
        assert_eq!(handed_on(&input), (format!("{good}{good}"), End::Orderly));
    }

    #[test]
    fn exit_ends_the_input_and_tells_whether_it_was_orderly() {
        let exit = frame(r#"{"jsonrpc":"2.0","method":"exit"}"#);
        let shutdown = frame(r#"{"jsonrpc":"2.0","id":1,"method":"shutdown"}"#);
        assert_eq!(handed_on(&format!("{exit}{shutdown}")), (String::new(), End::Abrupt));
        assert_eq!(handed_on(&format!("{shutdown}{exit}{shutdown}")), (shutdown, End::Orderly));
    }
}
