#!/usr/bin/env python3
"""A second verifier of Mullion's history: Python's standard library and nothing else.

Written from the published texts, not from the program's own code:
  Ed25519          RFC 8032 section 5.1 (the arithmetic stands below)
  Merkle tree      RFC 6962 section 2.1, RFC 9162 sections 2.1.3.2 and 2.1.4.2
  canonical JSON   RFC 8785, numbers by ECMA-262 Number::toString
  notes            C2SP signed-note, tlog-checkpoint, tlog-cosignature
  logs as files    C2SP tlog-tiles, tlog-proof
Forms of Mullion's own (entry, change of key, fingerprint, dossier) as libs/dossier/README.md and the heads of
libs/ledger/src say them.

  ledger.py export DIR   [--fingerprint F] [--witness KEY ...]    a log as `mullion admin export-log` writes it,
                                                                  or a folder of such logs
  ledger.py dossier PATH [--fingerprint F] [--witness KEY ...]    the logs of a dossier, zipped or unpacked
  ledger.py vectors DIR                                           published vectors of fixtures/standards

Prints one JSON object. Exit 0 verified or all vectors hold, 3 consistent but the key is not known, 4 altered.
"""

import argparse
import base64
import binascii
import hashlib
import json
import os
import re
import sys
import zipfile

# ---------------------------------------------------------------- Ed25519 (RFC 8032 section 5.1)

P = 2**255 - 19
L = 2**252 + 27742317777372353535851937790883648493
D = -121665 * pow(121666, P - 2, P) % P
ROOT_OF_MINUS_1 = pow(2, (P - 1) // 4, P)


def recover_x(y, sign):
    if y >= P:
        return None
    x2 = (y * y - 1) * pow(D * y * y + 1, P - 2, P) % P
    if x2 == 0:
        return None if sign else 0
    x = pow(x2, (P + 3) // 8, P)
    if (x * x - x2) % P != 0:
        x = x * ROOT_OF_MINUS_1 % P
    if (x * x - x2) % P != 0:
        return None
    return P - x if x & 1 != sign else x


def decode_point(data):
    y = int.from_bytes(data, "little")
    x = recover_x(y & ((1 << 255) - 1), y >> 255)
    if x is None:
        return None
    y &= (1 << 255) - 1
    return (x, y, 1, x * y % P)


def add_points(a, b):
    s = (a[1] - a[0]) * (b[1] - b[0]) % P
    t = (a[1] + a[0]) * (b[1] + b[0]) % P
    u = 2 * a[3] * b[3] * D % P
    v = 2 * a[2] * b[2] % P
    e, f, g, h = t - s, v - u, v + u, t + s
    return (e * f % P, g * h % P, f * g % P, e * h % P)


def multiply(k, point):
    result = (0, 1, 1, 0)
    while k > 0:
        if k & 1:
            result = add_points(result, point)
        point = add_points(point, point)
        k >>= 1
    return result


def same_point(a, b):
    return (a[0] * b[2] - b[0] * a[2]) % P == 0 and (a[1] * b[2] - b[1] * a[2]) % P == 0


BASE_Y = 4 * pow(5, P - 2, P) % P
BASE = decode_point(BASE_Y.to_bytes(32, "little"))


def verify_ed25519(public, message, signature):
    """RFC 8032 section 5.1.7, by the equation without the cofactor."""
    if len(public) != 32 or len(signature) != 64:
        return False
    a, r = decode_point(public), decode_point(signature[:32])
    s = int.from_bytes(signature[32:], "little")
    if a is None or r is None or s >= L:
        return False
    k = int.from_bytes(hashlib.sha512(signature[:32] + public + message).digest(), "little") % L
    return same_point(multiply(s, BASE), add_points(r, multiply(k, a)))


# ---------------------------------------------------------------- the tree (RFC 6962, RFC 9162)


def leaf_hash(entry):
    return hashlib.sha256(b"\x00" + entry).digest()


def node_hash(left, right):
    return hashlib.sha256(b"\x01" + left + right).digest()


class Tree:
    """Root over a growing list of leaf hashes."""

    def __init__(self):
        self.size = 0
        self.stack = []

    def append(self, leaf, on_node=None):
        level, index = 0, self.size
        if on_node:
            on_node(level, index, leaf)
        while index & 1:
            leaf = node_hash(self.stack.pop(), leaf)
            level, index = level + 1, index >> 1
            if on_node:
                on_node(level, index, leaf)
        self.stack.append(leaf)
        self.size += 1

    def root(self):
        if not self.stack:
            return hashlib.sha256(b"").digest()
        root = self.stack[-1]
        for left in reversed(self.stack[:-1]):
            root = node_hash(left, root)
        return root


def verify_inclusion(leaf, index, size, root, proof):
    """RFC 9162 section 2.1.3.2."""
    if not 0 <= index < size or any(len(h) != 32 for h in proof):
        return False
    fn, sn, r = index, size - 1, leaf
    for p in proof:
        if sn == 0:
            return False
        if fn & 1 or fn == sn:
            r = node_hash(p, r)
            while not fn & 1 and fn != 0:
                fn >>= 1
                sn >>= 1
        else:
            r = node_hash(r, p)
        fn >>= 1
        sn >>= 1
    return sn == 0 and r == root


def verify_consistency(size1, size2, root1, root2, proof):
    """RFC 9162 section 2.1.4.2; sizes 0 and equal sizes take an empty proof."""
    if not 0 <= size1 <= size2 or any(len(h) != 32 for h in proof):
        return False
    if size1 == size2:
        return not proof and root1 == root2
    if size1 == 0:
        return not proof and root1 == hashlib.sha256(b"").digest()
    if not proof:
        return False
    path = [root1] + list(proof) if size1 & (size1 - 1) == 0 else list(proof)
    fn, sn = size1 - 1, size2 - 1
    while fn & 1:
        fn >>= 1
        sn >>= 1
    fr = sr = path[0]
    for c in path[1:]:
        if sn == 0:
            return False
        if fn & 1 or fn == sn:
            fr, sr = node_hash(c, fr), node_hash(c, sr)
            while not fn & 1 and fn != 0:
                fn >>= 1
                sn >>= 1
        else:
            sr = node_hash(sr, c)
        fn >>= 1
        sn >>= 1
    return sn == 0 and fr == root1 and sr == root2


# ---------------------------------------------------------------- canonical JSON (RFC 8785)


def number_text(value):
    """ECMA-262 Number::toString, radix 10, from Python's shortest digits."""
    if value == 0:
        return "0"
    if value < 0:
        return "-" + number_text(-value)
    mantissa, _, exponent = ("%r" % float(value)).partition("e")
    whole, _, fraction = mantissa.partition(".")
    fraction = "" if fraction == "0" else fraction
    digits = whole + fraction
    n = len(whole) + int(exponent or 0)
    stripped = digits.lstrip("0")
    n -= len(digits) - len(stripped)
    digits = stripped.rstrip("0")
    k = len(digits)
    if k <= n <= 21:
        return digits + "0" * (n - k)
    if 0 < n <= 21:
        return digits[:n] + "." + digits[n:]
    if -6 < n <= 0:
        return "0." + "0" * -n + digits
    e = n - 1
    sign = "+" if e >= 0 else "-"
    return digits[0] + ("." + digits[1:] if k > 1 else "") + "e" + sign + str(abs(e))


SHORT = {8: "\\b", 9: "\\t", 10: "\\n", 12: "\\f", 13: "\\r", 34: '\\"', 92: "\\\\"}


def string_text(text):
    text.encode("utf-8")  # half a surrogate pair cannot be written
    return '"' + "".join(
        SHORT.get(ord(c)) or ("\\u%04x" % ord(c) if ord(c) < 32 else c) for c in text
    ) + '"'


def canonical(value):
    if value is None:
        return "null"
    if value is True or value is False:
        return "true" if value else "false"
    if isinstance(value, str):
        return string_text(value)
    if isinstance(value, (int, float)):
        number = float(value)
        if number != number or number in (float("inf"), float("-inf")):
            raise ValueError("a number without a JSON form")
        return number_text(number)
    if isinstance(value, list):
        return "[" + ",".join(canonical(one) for one in value) + "]"
    keys = sorted(value, key=lambda key: key.encode("utf-16-be"))
    return "{" + ",".join(string_text(key) + ":" + canonical(value[key]) for key in keys) + "}"


def parse_canonical(data):
    """The value, or ValueError when the bytes are not the one canonical form of it."""
    text = data.decode("utf-8")
    value = json.loads(text, parse_constant=lambda name: (_ for _ in ()).throw(ValueError(name)))
    if canonical(value) != text:
        raise ValueError("JSON, but not in canonical form")
    return value


# ---------------------------------------------------------------- notes and keys (C2SP)


def from_base64(text):
    """Strict RFC 4648 section 4, or None."""
    try:
        data = base64.b64decode(text, validate=True)
    except (binascii.Error, ValueError):
        return None
    return data if base64.b64encode(data).decode() == text else None


def key_id(name, kind, public):
    return hashlib.sha256(name.encode() + b"\n" + bytes([kind]) + public).digest()[:4]


def parse_key(text):
    """name+id+base64(type, key) -> (name, id, type, public), or None."""
    parts = text.split("+", 2)
    if len(parts) != 3:
        return None
    body = from_base64(parts[2])
    if body is None or len(body) != 33 or body[0] not in (1, 4) or re.search(r"\s", parts[0]):
        return None
    key = (parts[0], key_id(parts[0], body[0], body[1:]), body[0], body[1:])
    return key if key[1].hex() == parts[1] else None


def make_key(name, public, kind=1):
    return (name, key_id(name, kind, public), kind, public)


def is_note_text(text):
    return text.endswith("\n") and not re.search("[\x00-\x09\x0b-\x1f\ud800-\udfff\ufffd]", text)


def open_note(note, keys):
    """-> (text, verified keys, failed keys); ValueError when it is no note."""
    split = note.rfind("\n\n")
    if split < 0:
        raise ValueError("no empty line before the signatures")
    text, tail = note[: split + 1], note[split + 2 :]
    if not is_note_text(text) or not tail.endswith("\n"):
        raise ValueError("malformed note")
    verified, failed = [], []
    for line in tail[:-1].split("\n"):
        parts = line.split(" ")
        body = from_base64(parts[2]) if len(parts) == 3 and parts[0] == "\u2014" else None
        if body is None or len(body) < 5 or not parts[1] or re.search(r"[\s+]", parts[1]):
            raise ValueError("malformed signature line")
        key = next((k for k in keys if k[0] == parts[1] and k[1] == body[:4]), None)
        if key is None:
            continue
        signature = body[4:]
        message = text.encode()
        if key[2] == 4:  # C2SP tlog-cosignature: time in seconds, then Ed25519 over a headed text
            if len(signature) != 72:
                failed.append(key)
                continue
            at = int.from_bytes(signature[:8], "big")
            message = b"cosignature/v1\ntime %d\n" % at + message
            signature = signature[8:]
        (verified if verify_ed25519(key[3], message, signature) else failed).append(key)
    return text, verified, failed


def parse_checkpoint(text):
    """-> (origin, size, root); ValueError when it is none."""
    lines = text.split("\n")
    if lines.pop() != "" or len(lines) < 3 or "" in lines:
        raise ValueError("no checkpoint")
    root = from_base64(lines[2])
    if not re.fullmatch(r"0|[1-9]\d*", lines[1]) or root is None or len(root) != 32:
        raise ValueError("no checkpoint")
    return lines[0], int(lines[1]), root


LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
DOMAIN = b"mullion archive key v1\n"


def base32(data, count):
    bits = int.from_bytes(data, "big") >> (8 * len(data) - 5 * count)
    return "".join(LETTERS[(bits >> (5 * (count - 1 - i))) & 31] for i in range(count))


def fingerprint(public):
    letters = base32(hashlib.sha256(DOMAIN + public).digest(), 26)
    letters += base32(hashlib.sha256(DOMAIN + letters.encode()).digest(), 2)
    return "-".join(letters[i : i + 4] for i in range(0, 28, 4))


# ---------------------------------------------------------------- changes of the key


class KeyHistory:
    """Follows key.announce and key.change entries of one log; see the head of libs/ledger/src/key-statement.ts."""

    def __init__(self, origin):
        self.origin = origin
        self.held = []  # (public, how the change to it was signed or None for the first)
        self.successor = None
        self.said = []

    def current(self):
        return self.held[-1][0] if self.held else None

    def own(self, text):
        key = parse_key(text) if isinstance(text, str) else None
        return key[3] if key and key[0] == self.origin and key[2] == 1 else None

    def add(self, entry):
        """-> what is wrong with the entry, or None"""
        if entry["type"] == "key.announce":
            return self.announce(entry["seq"], entry["payload"])
        if entry["type"] == "key.change":
            return self.change(entry["seq"], entry["payload"])
        return None

    def announce(self, seq, payload):
        key, successor = self.own(payload.get("key")), self.own(payload.get("successor"))
        signature = from_base64(payload.get("signature", ""))
        if key is None or successor is None or signature is None:
            return "entry %d is no announcement of a key" % seq
        text = "mullion key announcement v1\n%s\nentry %d\nkey %s\nsuccessor %s\nsealing %s\n" % (
            self.origin, seq, payload["key"], payload["successor"], payload["sealing"])
        if not verify_ed25519(key, text.encode(), signature):
            return None  # counts for nothing
        if not self.held and not self.carry(payload.get("earlier", []), key):
            return None
        if self.held and self.current() != key:
            return None
        if not self.held:
            self.held.append((key, None))
        self.successor = (successor, seq)
        return None

    def carry(self, earlier, key):
        if not earlier:
            return True
        before = KeyHistory(earlier[0]["origin"])
        for entry in earlier:
            if entry["origin"] != before.origin or before.add(entry) is not None:
                return False
        if before.current() != key or before.origin.split("/")[:2] != self.origin.split("/")[:2]:
            return False
        self.held = list(before.held)
        self.said = list(before.said)
        return True

    def change(self, seq, payload):
        to = self.own(payload.get("to"))
        by, source = payload.get("signedBy"), payload.get("fromKey")
        old = self.own(source) if source is not None else None
        signature = from_base64(payload.get("signature", ""))
        if to is None or signature is None or (source is not None and old is None):
            return "entry %d is no change of a key" % seq
        if self.held and self.current() != old:
            return "entry %d changes the key of another history" % seq
        if old is not None and fingerprint(old) != payload.get("from"):
            return "entry %d names another fingerprint" % seq
        text = "mullion key change v1\n%s\nentry %d\nfrom %s\nto %s\nby %s\n" % (
            self.origin, seq, payload.get("from") or "unknown", payload["to"], by)
        signer = old if by == "old" else to
        if by not in ("old", "successor", "none") or signer is None:
            return "entry %d is no change of a key" % seq
        if not verify_ed25519(signer, text.encode(), signature):
            return "entry %d changes the key, but its signature does not hold" % seq
        if by == "successor" and (self.successor is None or self.successor[0] != to):
            return "entry %d hands the log on to a successor that was not announced" % seq
        if not self.held and old is not None:
            self.held.append((old, None))
        self.held.append((to, by))
        if by != "old":
            self.said.append("changed without the old key at entry %d" % seq)
        self.successor = None
        return None

    def vouches_for(self, known):
        """Whether the key in force can be followed back to the fingerprint: True, False, or None where it never was a key."""
        at = [i for i, (public, _) in enumerate(self.held) if fingerprint(public) == known]
        if not at:
            return None
        return all(by != "none" for _, by in self.held[at[-1] + 1 :])


# ---------------------------------------------------------------- epochs


def epoch_of(origin):
    """-> (name of the history, epoch from 1), or None for a log of somebody else's form"""
    match = re.fullmatch(r"(mullion/[a-z0-9][a-z0-9-]{7,39}/(?:studio|site/[a-z0-9][a-z0-9_-]*))(?:/epoch/([1-9]\d{0,8}))?", origin)
    if not match or match.group(2) == "1":
        return None
    return match.group(1), int(match.group(2) or 1)


def is_later(origin, before):
    later, earlier = epoch_of(origin), epoch_of(before)
    return later is not None and earlier is not None and later[0] == earlier[0] and later[1] > earlier[1]


def told_epoch(origin, entry):
    """What a log.epoch entry says; see the head of libs/ledger/src/epoch.ts. -> (payload, problem)"""
    try:
        said = entry["payload"]
        before, known, lost = said["before"], said["known"], said["lost"]
        if not is_later(origin, before["origin"]) or not is_later(origin, known["origin"]):
            return None, "it tells of a log that is no earlier epoch of this one"
        if entry["seq"] == 0 and epoch_of(before["origin"])[1] != epoch_of(origin)[1] - 1:
            return None, "it leaves out an epoch"
        if lost["to"] != known["size"] or lost["from"] > lost["to"] or lost["from"] < 0:
            return None, "the lost range does not fit the checkpoint"
        head = parse_checkpoint(open_note(known["note"], [])[0])
        if head != (known["origin"], known["size"], from_base64(known["rootHash"])):
            return None, "it says other than the checkpoint that it rests on"
        return said, None
    except (KeyError, TypeError, ValueError, UnicodeError) as problem:
        return None, "it does not say what was lost: %s" % problem


def chain_epochs(logs):
    """Each log (a verdict) against what the first entry of the next epoch says of it. -> faults, losses"""
    faults, losses, vouched = [], [], {}
    for log in logs:
        for seq, said in log["told"]:
            known, lost = said["known"], said["lost"]
            losses.append({"log": log["origin"], "seq": seq, "of": known["origin"], "from": lost["from"], "to": lost["to"]})
            keys = [key for one in logs if one is log or is_later(log["origin"], one["origin"]) for key in one["keys"]]
            signed = any(open_note(known["note"], [make_key(known["origin"], key)])[1] for key in keys)
            if not signed:
                faults.append({"place": "epoch", "log": log["origin"], "seq": seq, "reason": "it rests on a checkpoint that no key of this history signed"})
            if seq != 0:
                continue
            before = said["before"]
            closed = next((one for one in logs if one["origin"] == before["origin"]), None)
            if closed is None:
                continue
            if (closed["size"], closed["root"]) == (before["size"], from_base64(before["rootHash"])):
                vouched[closed["origin"]] = log["origin"]
            else:
                faults.append({"place": "epoch", "log": closed["origin"], "seq": None, "reason": "not as it was when it closed, says %s" % log["origin"]})
    alone = {log["origin"]: log["result"] for log in logs}
    for log in logs:
        open_one = log["origin"]
        while open_one in vouched:
            open_one = vouched[open_one]
        if any(fault["log"] == log["origin"] for fault in faults):
            log["result"] = "altered"
        elif log["result"] != "altered" and alone[open_one] == "verified-against-fingerprint":
            log["result"] = alone[open_one]
        log["closed"] = log["origin"] in vouched
    return faults, losses


def trust_among(trust, origin, origins):
    """A closed log is known by what the next epoch says of it, not by whose key signed it then."""
    return dict(trust, fingerprint=None) if any(is_later(one, origin) for one in origins) else trust


# ---------------------------------------------------------------- one log


MEMBERS = {"v", "log", "seq", "type", "subject", "actorId", "happened", "recordedAt", "payload", "objects", "supersedes", "refs"}


class LogReader:
    """Entries in order against leaf hashes and a signed head. `withheld` holds numbers without an entry."""

    def __init__(self, note, key_text, leaves, withheld, trust):
        self.trust = trust
        self.faults = []
        self.leaves = leaves
        self.withheld = withheld
        self.key = parse_key(key_text)
        self.origin, self.size, self.root, self.witness = "", 0, None, None
        self.seen = 0
        self.refs = []
        self.key_entries = []
        self.told = []
        if self.key is None:
            self.fault("key", None, "the key cannot be read")
        try:
            text, verified, failed = open_note(note, ([self.key] if self.key else []) + trust["witnesses"])
            self.origin, self.size, self.root = parse_checkpoint(text)
            for key in failed:
                self.fault("checkpoint", None, "the signature of %s does not hold" % key[0])
            if self.key and self.key not in verified and self.key not in failed:
                self.fault("checkpoint", None, "the checkpoint is not signed by the key that came with it")
            if self.key and self.key[0] != self.origin:
                self.fault("key", None, "the key is for another log")
            self.witness = next((k[0] for k in verified if k != self.key), None)
        except (ValueError, UnicodeError) as problem:
            self.fault("checkpoint", None, str(problem))
        self.keys = KeyHistory(self.origin)
        self.position = 0

    def fault(self, place, seq, reason):
        self.faults.append({"place": place, "seq": seq, "reason": reason})

    def add(self, data):
        while self.position in self.withheld:
            self.position += 1
        seq = self.position
        self.position += 1
        self.seen += 1
        leaf = leaf_hash(data)
        if seq >= len(self.leaves) or self.leaves[seq] != leaf:
            self.fault("entry", seq, "entry %d was changed, added or moved" % seq)
            return None
        try:
            entry = parse_canonical(data)
            if not isinstance(entry, dict) or not MEMBERS <= set(entry) <= MEMBERS | {"happenedNote", "salt"}:
                raise ValueError("it has not the members of an entry")
        except (ValueError, UnicodeError, RecursionError) as problem:
            self.fault("entry", seq, "entry %d is no entry: %s" % (seq, problem))
            return None
        if entry["seq"] != seq or entry["log"] != self.origin:
            self.fault("entry", seq, "entry %d belongs elsewhere" % seq)
        self.refs += [dict(ref, seq=seq) for ref in entry["refs"]]
        if entry["type"].startswith("key."):
            self.key_entries.append(entry)
            problem = self.keys.add(entry)
            if problem:
                self.fault("entry", seq, problem)
        if entry["type"] == "log.epoch":
            said, problem = told_epoch(self.origin, entry)
            if problem:
                self.fault("entry", seq, "entry %d opens an epoch, but %s" % (seq, problem))
            else:
                self.told.append((seq, said))
        elif seq == 0 and (epoch_of(self.origin) or ("", 1))[1] > 1:
            self.fault("entry", seq, "entry 0 does not say at which entry the epoch before closed")
        return entry

    def finish(self):
        while self.position in self.withheld:
            self.position += 1
        for seq in range(self.position, len(self.leaves)):
            if seq not in self.withheld:
                self.fault("entry", seq, "entry %d is missing" % seq)
        tree = Tree()
        for leaf in self.leaves:
            tree.append(leaf)
        if self.root is not None and (tree.size != self.size or tree.root() != self.root):
            self.fault("leaf-list", None, "the tree over the entries has another root or size than the checkpoint")
        known = self.trust["fingerprint"]
        anchored = False
        if self.key:
            found = self.key[3]
            if self.keys.current() not in (None, found):
                self.fault("key", None, "the checkpoint is not signed by the key in force")
            if known:
                vouched = True if fingerprint(found) == known else self.keys.vouches_for(known)
                if vouched is None:
                    self.fault("key", None, "the key does not match the fingerprint")
                anchored = vouched is True
            elif self.witness:
                anchored = True
        result = "altered" if self.faults else "verified-against-fingerprint" if anchored else "consistent-key-unknown"
        return {
            "origin": self.origin,
            "size": self.size,
            "entries": self.seen,
            "withheld": len(self.withheld),
            "keyFingerprint": fingerprint(self.key[3]) if self.key else None,
            "result": result,
            "faults": self.faults,
            "said": self.keys.said,
            "told": self.told,
            "root": self.root,
            "keys": [public for public, _ in self.keys.held] + ([self.key[3]] if self.key else []),
        }


def bare(verdict):
    """A verdict as it is printed."""
    return {name: value for name, value in verdict.items() if name not in ("told", "root", "keys")}


# ---------------------------------------------------------------- exported logs (C2SP tlog-tiles)


def number_path(index):
    digits = str(index)
    digits = digits.zfill((len(digits) + 2) // 3 * 3)
    groups = [digits[i : i + 3] for i in range(0, len(digits), 3)]
    return "/".join(["x" + g for g in groups[:-1]] + groups[-1:])


def tiles(size):
    level, count = 0, size
    while count > 0:
        for index in range(count // 256):
            yield level, index, 256
        if count % 256:
            yield level, count // 256, count % 256
        level, count = level + 1, count // 256


def tile_path(kind, index, width):
    return "tile/%s/%s%s" % (kind, number_path(index), "" if width == 256 else ".p/%d" % width)


def read_bytes(folder, path):
    try:
        with open(os.path.join(folder, path), "rb") as file:
            return file.read()
    except OSError:
        return None


def text_of(data):
    return (data or b"").decode("utf-8", "replace")


def check_exports(folder, trust):
    """One log, or all those in a folder: then also their epochs against one another."""
    if os.path.isfile(os.path.join(folder, "checkpoint")):
        return bare(check_export(folder, trust))
    folders = sorted(os.path.join(folder, name) for name in os.listdir(folder))
    folders = [one for one in folders if os.path.isdir(os.path.join(one, "tile"))]
    origins = [text_of(read_bytes(one, "checkpoint")).split("\n")[0] for one in folders]
    logs = [check_export(one, trust_among(trust, origin, origins)) for one, origin in zip(folders, origins)]
    faults, losses = chain_epochs(logs)
    faults = [dict(fault, log=log["origin"]) for log in logs for fault in log["faults"]] + faults
    results = [log["result"] for log in logs]
    known = bool(results) and all(one == "verified-against-fingerprint" for one in results)
    result = "altered" if faults or not logs else "verified-against-fingerprint" if known else "consistent-key-unknown"
    return {"result": result, "faults": faults, "losses": losses, "logs": [bare(log) for log in logs]}


def check_export(folder, trust):
    note, key_text = text_of(read_bytes(folder, "checkpoint")), text_of(read_bytes(folder, "key"))
    if key_text.endswith("\n"):
        key_text = key_text[:-1]
    size, faults = 0, []
    try:
        size = parse_checkpoint(open_note(note, [])[0])[1]
    except (ValueError, UnicodeError):
        pass
    stored, leaves, bundles = {}, [], []
    for level, index, width in tiles(size):
        path = tile_path(level, index, width)
        data = read_bytes(folder, path)
        if data is None or len(data) != 32 * width:
            faults.append({"place": "file", "path": path, "seq": None, "reason": "missing or of a wrong length"})
            data = b"\x00" * 32 * width if level == 0 else b""
        hashes = [data[i : i + 32] for i in range(0, len(data), 32)]
        if level == 0:
            leaves += hashes
            bundles.append((index, width))
        else:
            for at, value in enumerate(hashes):
                stored[(8 * level, 256 * index + at)] = (value, path)
    reader = LogReader(note, key_text, leaves, set(), trust)
    for index, width in bundles:
        path = tile_path("entries", index, width)
        data = read_bytes(folder, path)
        entries = split_bundle(data or b"", width)
        if entries is None:
            faults.append({"place": "file", "path": path, "seq": None, "reason": "missing, cut off or too long"})
            reader.position = min(len(leaves), (index + 1) * 256)
            continue
        for entry in entries:
            reader.add(entry)
    verdict = reader.finish()
    faults += check_heads(folder, reader, stored)
    faults += check_proofs(folder, reader)
    verdict["faults"] = verdict["faults"] + faults
    if verdict["faults"]:
        verdict["result"] = "altered"
    verdict["refs"] = reader.refs
    verdict["leaves"] = [leaf.hex() for leaf in leaves]
    return verdict


def split_bundle(data, width):
    entries, at = [], 0
    for _ in range(width):
        if at + 2 > len(data):
            return None
        end = at + 2 + int.from_bytes(data[at : at + 2], "big")
        if end > len(data):
            return None
        entries.append(data[at + 2 : end])
        at = end
    return entries if at == len(data) else None


def check_heads(folder, reader, stored):
    """Hashes above the leaves, and every head handed out earlier, by the key in force at its size."""
    faults = []

    def on_node(level, index, value):
        found = stored.get((level, index))
        if found and found[0] != value:
            faults.append({"place": "tile", "path": found[1], "seq": None, "reason": "a hash does not fit the entries below it"})

    names = os.listdir(os.path.join(folder, "checkpoints")) if os.path.isdir(os.path.join(folder, "checkpoints")) else []
    sizes = sorted(int(name) for name in names)
    keys, waiting = KeyHistory(reader.origin), list(reader.key_entries)
    first = None
    if waiting:
        first = keys.own(waiting[0]["payload"].get("key") or waiting[0]["payload"].get("fromKey"))
    tree = Tree()
    for at, leaf in enumerate(reader.leaves):
        tree.append(leaf, on_node)
        size = at + 1
        if size not in sizes:
            continue
        while waiting and waiting[0]["seq"] < size:
            keys.add(waiting.pop(0))
        public = keys.current() or first or (reader.key[3] if reader.key else b"")
        path = "checkpoints/%d" % size
        try:
            text, verified, failed = open_note(text_of(read_bytes(folder, path)), [make_key(reader.origin, public)])
            head = parse_checkpoint(text)
            if failed or not verified or head != (reader.origin, size, tree.root()):
                raise ValueError("it does not fit the entries before it")
        except (ValueError, UnicodeError) as problem:
            faults.append({"place": "checkpoint", "path": path, "seq": None, "reason": str(problem)})
    for size in sizes:
        if size > len(reader.leaves):
            faults.append({"place": "checkpoint", "path": "checkpoints/%d" % size, "seq": None, "reason": "over more entries than there are"})
    return faults


def read_proof(text):
    """C2SP tlog-proof -> (index, hashes, checkpoint note); ValueError when it is none."""
    head, gap, note = text.partition("\n\n")
    lines = head.split("\n")
    if not gap or lines.pop(0) != "c2sp.org/tlog-proof@v1":
        raise ValueError("no proof")
    if lines and lines[0].startswith("extra "):
        lines.pop(0)
    match = re.fullmatch(r"index (0|[1-9]\d*)", lines.pop(0) if lines else "")
    hashes = [from_base64(line) for line in lines]
    if not match or any(h is None or len(h) != 32 for h in hashes):
        raise ValueError("no proof")
    return int(match.group(1)), hashes, note


def check_proofs(folder, reader):
    faults = []
    where = os.path.join(folder, "proofs")
    for name in sorted(os.listdir(where)) if os.path.isdir(where) else []:
        try:
            index, hashes, note = read_proof(text_of(read_bytes(where, name)))
            text, verified, failed = open_note(note, [reader.key] if reader.key else [])
            origin, size, root = parse_checkpoint(text)
            good = verified and not failed and origin == reader.origin and index < len(reader.leaves)
            if not good or not verify_inclusion(reader.leaves[index], index, size, root, hashes):
                raise ValueError("the proof does not hold")
        except (ValueError, UnicodeError) as problem:
            faults.append({"place": "proof", "path": "proofs/" + name, "seq": None, "reason": str(problem)})
    return faults


# ---------------------------------------------------------------- dossiers


def dossier_files(path):
    if os.path.isdir(path):
        files = {}
        for folder, _, names in os.walk(path):
            for name in names:
                full = os.path.join(folder, name)
                with open(full, "rb") as file:
                    files[os.path.relpath(full, path)] = file.read()
    else:
        with zipfile.ZipFile(path) as archive:
            files = {name: archive.read(name) for name in archive.namelist()}
    top = "" if "bagit.txt" in files else next(name.split("/")[0] + "/" for name in files if name.endswith("/bagit.txt"))
    return {name[len(top) :]: data for name, data in files.items() if name.startswith(top)}


def check_dossier(path, trust):
    files = dossier_files(path)
    faults = check_manifests(files)
    faults += check_seal(files, trust)
    logs, leaves_of, refs = [], {}, []
    folders = sorted({"/".join(name.split("/")[:3]) for name in files if name.startswith("data/ledger/")})
    origins = [text_of(files.get(one + "/checkpoint.txt")).split("\n")[0] for one in folders]
    for folder, origin in zip(folders, origins):
        verdict, leaves, log_refs = dossier_log(files, folder, trust_among(trust, origin, origins))
        faults += [dict(fault, log=verdict["origin"]) for fault in verdict["faults"]]
        logs.append(verdict)
        leaves_of[verdict["origin"]] = leaves
        refs += [dict(ref, log=verdict["origin"]) for ref in log_refs]
    seal_key = parse_key(bag_info(files).get("Mullion-Archive-Key", ""))
    proven, problems = check_dossier_refs(files, refs, leaves_of, seal_key)
    faults += problems
    broken, losses = chain_epochs(logs)
    faults += broken
    sealed = fingerprint(seal_key[3]) if seal_key else None
    for log in logs:
        if not log["closed"] and log["origin"].split("/")[:2] == (seal_key[0].split("/")[:2] if seal_key else None) and log["keyFingerprint"] != sealed:
            faults.append({"place": "key", "log": log["origin"], "seq": None, "reason": "signed by another key than the dossier"})
    known = all(log["result"] == "verified-against-fingerprint" for log in logs) and bool(logs)
    result = "altered" if faults or not logs else "verified-against-fingerprint" if known else "consistent-key-unknown"
    return {"result": result, "faults": faults, "losses": losses, "logs": [bare(log) for log in logs], "references": {"all": len(refs), "proven": proven}}


def check_manifests(files):
    """RFC 8493 section 3: every file under its digests, no file beside them."""
    faults = []
    for algorithm in ("sha256", "sha512"):
        for name, wanted in (
            ("manifest-%s.txt" % algorithm, {f for f in files if f.startswith("data/")}),
            ("tagmanifest-%s.txt" % algorithm, {f for f in files if not f.startswith(("data/", "tagmanifest-")) and f != "seal.txt"}),
        ):
            listed = {}
            for line in text_of(files.get(name)).splitlines():
                digest, _, path = line.partition("  ")
                listed[path.replace("%0D", "\r").replace("%0A", "\n").replace("%25", "%")] = digest
            for path in sorted(set(listed) | wanted):
                data = files.get(path)
                if data is None or path not in listed or path not in wanted or hashlib.new(algorithm, data).hexdigest() != listed[path]:
                    faults.append({"place": "file", "path": path, "seq": None, "reason": "not as %s says" % name})
    return faults


def bag_info(files):
    return dict(line.split(": ", 1) for line in text_of(files.get("bag-info.txt")).splitlines() if ": " in line)


def check_seal(files, trust):
    key = parse_key(bag_info(files).get("Mullion-Archive-Key", ""))
    try:
        if key is None:
            raise ValueError("no key of the seal")
        text, verified, failed = open_note(text_of(files.get("seal.txt")), [key])
        if failed or not verified:
            raise ValueError("the seal is not signed by the key of the dossier")
        for algorithm in ("sha256", "sha512"):
            name = "tagmanifest-%s.txt" % algorithm
            line = "%s %s" % (name, hashlib.new(algorithm, files.get(name, b"")).hexdigest())
            if line not in text.split("\n"):
                raise ValueError("the seal does not fit %s" % name)
    except (ValueError, UnicodeError) as problem:
        return [{"place": "seal", "path": "seal.txt", "seq": None, "reason": str(problem)}]
    return []


def dossier_log(files, folder, trust):
    get = lambda name: files.get(folder + "/" + name)
    leaves, withheld = [], set()
    faults = []
    for at, line in enumerate(text_of(get("leaf-hashes.txt")).splitlines()):
        digest, _, mark = line.partition(" ")
        if not re.fullmatch("[0-9a-f]{64}", digest) or mark not in ("", "withheld"):
            faults.append({"place": "leaf-list", "seq": at, "reason": "line %d is no leaf hash" % (at + 1)})
            digest = "00" * 32
        leaves.append(bytes.fromhex(digest))
        if mark:
            withheld.add(at)
    key_text = text_of(get("key.txt"))
    reader = LogReader(text_of(get("checkpoint.txt")), key_text[:-1] if key_text.endswith("\n") else key_text, leaves, withheld, trust)
    for line in (get("entries.jsonl") or b"").split(b"\n"):
        if line:
            reader.add(line)
    verdict = reader.finish()
    verdict["faults"] = faults + verdict["faults"]
    if verdict["faults"]:
        verdict["result"] = "altered"
    return verdict, leaves, reader.refs


def check_dossier_refs(files, refs, leaves_of, seal_key):
    """Each reference to a leaf of a log that is here, or by a proof in data/references. -> (how many are proven, faults)"""
    proofs, faults, proven = {}, [], 0
    for name in sorted(files):
        match = re.fullmatch(r"data/references/([^/]+)/(\d+)\.tlog-proof", name)
        if not match:
            continue
        stem = name[: -len(".tlog-proof")]
        try:
            index, hashes, note = read_proof(text_of(files[name]))
            entry = files.get(stem + ".json")
            leaf = leaf_hash(entry) if entry is not None else bytes.fromhex(text_of(files.get(stem + ".leaf-hash")).strip())
            origin = note.split("\n")[0]
            key = make_key(origin, seal_key[3])
            text, verified, failed = open_note(note, [key])
            _, size, root = parse_checkpoint(text)
            if failed or not verified or index != int(match.group(2)):
                raise ValueError("the proof is not signed by the archive, or is of another entry")
            if not verify_inclusion(leaf, index, size, root, hashes):
                raise ValueError("the proof does not hold")
            if entry is not None and [parse_canonical(entry)[m] for m in ("log", "seq")] != [origin, index]:
                raise ValueError("the entry belongs elsewhere")
            proofs[(origin, index)] = leaf.hex()
        except (ValueError, UnicodeError, TypeError) as problem:
            faults.append({"place": "reference", "path": name, "seq": None, "reason": str(problem)})
    for ref in refs:
        leaves = leaves_of.get(ref["origin"])
        if leaves is not None and ref["index"] < len(leaves):
            found = leaves[ref["index"]].hex()
        else:
            found = proofs.get((ref["origin"], ref["index"]))
        if found == ref["leafHash"]:
            proven += 1
        elif found is not None:
            faults.append({"place": "reference", "log": ref["log"], "seq": ref["seq"], "reason": "it refers to another entry than the one that is here"})
    return proven, faults


# ---------------------------------------------------------------- published vectors


def check_vectors(folder):
    counts, failures = {}, []

    def hold(name, is_so):
        counts[name] = counts.get(name, 0) + 1
        if not is_so:
            failures.append(name)

    load = lambda name: json.load(open(os.path.join(folder, name), encoding="utf-8"))
    tree = load("rfc6962.json")
    leaves = [bytes.fromhex(one) for one in tree["leavesHex"]]
    hold("RFC 6962 leaf hashes", [leaf_hash(one).hex() for one in leaves] == tree["leafHashes"])
    grown = Tree()
    for size, root in enumerate(tree["rootsBySize"]):
        hold("RFC 6962 roots", grown.root().hex() == root)
        if size < len(leaves):
            grown.append(leaf_hash(leaves[size]))
    hexes = lambda items: [bytes.fromhex(one) for one in items]
    for one in tree["inclusion"]:
        args = bytes.fromhex(one["leafHash"]), one["leafIndex"], one["treeSize"], bytes.fromhex(one["root"]), hexes(one["proof"])
        hold("RFC 6962 inclusion proofs", verify_inclusion(*args))
        hold("RFC 6962 inclusion, index past the end", not verify_inclusion(args[0], one["treeSize"], *args[2:]))
        if one["proof"]:
            flipped = [bytes([args[4][0][0] ^ 1]) + args[4][0][1:]] + args[4][1:]
            hold("RFC 6962 inclusion, flipped bit", not verify_inclusion(*args[:4], flipped))
            hold("RFC 6962 inclusion, missing node", not verify_inclusion(*args[:4], args[4][:-1]))
    for one in tree["consistency"]:
        args = one["size1"], one["size2"], bytes.fromhex(one["root1"]), bytes.fromhex(one["root2"]), hexes(one["proof"])
        hold("RFC 6962 consistency proofs", verify_consistency(*args))
        if one["proof"]:
            hold("RFC 6962 consistency, missing node", not verify_consistency(*args[:4], args[4][:-1]))
    jcs = load("jcs-rfc8785.json")
    for one in jcs["vectors"]:
        hold("RFC 8785 structures", canonical(json.loads(one["input"])).encode() == bytes.fromhex(one["canonicalHex"]))
    import struct

    for one in jcs["numbers"]:
        value = struct.unpack(">d", bytes.fromhex(one["ieeeHex"]))[0]
        hold("RFC 8785 numbers", number_text(value) == one["expected"])
    notes = load("ed25519-note.json")
    for one in notes["rfc8032"]:
        public, message, signature = (bytes.fromhex(one[name]) for name in ("public", "messageHex", "signature"))
        hold("RFC 8032 signatures", verify_ed25519(public, message, signature))
        hold("RFC 8032, another message", not verify_ed25519(public, message + b"x", signature))
        hold("RFC 8032, flipped bit", not verify_ed25519(public, message, signature[:-1] + bytes([signature[-1] ^ 1])))
    key = parse_key(notes["signedNote"]["verifierKey"])
    hold("C2SP signed-note example", key and len(open_note(notes["signedNote"]["note"], [key])[1]) == 1)
    own = notes["ownCheckpoint"]
    opened = open_note(own["checkpoint"], [parse_key(own["verifierKey"])])
    hold("C2SP tlog-checkpoint", len(opened[1]) == 1 and parse_checkpoint(opened[0])[2].hex() == tree["rootsBySize"][8])
    return {"result": "altered" if failures else "all hold", "counts": counts, "failures": failures}


# ---------------------------------------------------------------- command line

EXIT = {"verified-against-fingerprint": 0, "all hold": 0, "consistent-key-unknown": 3, "altered": 4}


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("what", choices=["export", "dossier", "vectors"])
    parser.add_argument("path")
    parser.add_argument("--fingerprint")
    parser.add_argument("--witness", action="append", default=[])
    args = parser.parse_args()
    witnesses = []
    for text in args.witness:
        key = parse_key(text)
        if key is None:
            parser.error("not the verifier key of a witness: " + text)
        witnesses += [key] + ([make_key(key[0], key[3], 4)] if key[2] == 1 else [])
    known = args.fingerprint and re.sub(r"[\s-]", "", args.fingerprint.upper()).replace("O", "0").replace("I", "1").replace("L", "1")
    trust = {"fingerprint": known and "-".join(known[i : i + 4] for i in range(0, 28, 4)), "witnesses": witnesses}
    if args.what == "vectors":
        report = check_vectors(args.path)
    else:
        report = (check_exports if args.what == "export" else check_dossier)(args.path, trust)
    print(json.dumps(report, indent=1))
    sys.exit(EXIT[report["result"]])


if __name__ == "__main__":
    main()
