"""Checks a cosigned checkpoint by the second verifier (ledger.py), with the Python standard library.

usage: cosignature.py NOTE LOG-KEY WITNESS-KEY    prints "ok SECONDS", or exits 1 with a reason

Cosignature: C2SP tlog-cosignature, "Format" and "Ed25519 signed message".
"""
import sys

sys.dont_write_bytecode = True  # the checkout stays as it is

from ledger import from_base64, open_note, parse_key  # noqa: E402


def main():
    note = open(sys.argv[1], encoding="utf-8").read()
    log, witness = parse_key(sys.argv[2]), parse_key(sys.argv[3])
    origin = note.split("\n")[0]
    if log is None or witness is None or log[2] != 1 or witness[2] != 4 or log[0] != origin:
        raise ValueError("not the keys of a log and its witness")
    _, verified, failed = open_note(note, [log, witness])
    if failed or log not in verified:
        raise ValueError("a signature does not hold")
    if witness not in verified:
        raise ValueError("the witness did not sign it")
    for line in note.splitlines():
        _, _, body = line.rpartition(f" {witness[0]} ")
        signature = from_base64(body) if body != line else None
        if signature is not None and signature[:4] == witness[1]:
            print("ok", int.from_bytes(signature[4:12], "big"))
            return


try:
    main()
except ValueError as trouble:
    sys.exit(f"refused: {trouble}")
