"""Checks a cosigned checkpoint from the specifications alone, with the Python standard library.

usage: cosignature.py NOTE LOG-KEY WITNESS-KEY    prints "ok SECONDS", or exits 1 with a reason

Signatures: RFC 8032 section 5.1.7 with the arithmetic of its section 6. Note: C2SP signed-note v1.
Cosignature: C2SP tlog-cosignature, "Format" and "Ed25519 signed message".
"""
import base64
import hashlib
import sys

P = 2**255 - 19
Q = 2**252 + 27742317777372353535851937790883648493
D = -121665 * pow(121666, P - 2, P) % P


def add(a, b):
    (x1, y1, z1, t1), (x2, y2, z2, t2) = a, b
    e, f = (y1 - x1) * (y2 - x2) % P, (y1 + x1) * (y2 + x2) % P
    c, d = 2 * t1 * t2 * D % P, 2 * z1 * z2 % P
    h, i, j, k = f - e, d - c, d + c, f + e
    return (h * i % P, j * k % P, i * j % P, h * k % P)


def times(n, point):
    result = (0, 1, 1, 0)
    while n > 0:
        if n & 1:
            result = add(result, point)
        point, n = add(point, point), n >> 1
    return result


def point_of(data):
    y = int.from_bytes(data, "little")
    sign, y = y >> 255, y & ((1 << 255) - 1)
    x2 = (y * y - 1) * pow(D * y * y + 1, P - 2, P) % P
    x = pow(x2, (P + 3) // 8, P)
    if (x * x - x2) % P != 0:
        x = x * pow(2, (P - 1) // 4, P) % P
    if y >= P or (x * x - x2) % P != 0 or (x == 0 and sign):
        raise ValueError("no point of the curve")
    if x & 1 != sign:
        x = P - x
    return (x, y, 1, x * y % P)


BASE_Y = 4 * pow(5, P - 2, P) % P
BASE = point_of(BASE_Y.to_bytes(32, "little"))


def holds(public_key, message, signature):
    r, s = signature[:32], int.from_bytes(signature[32:], "little")
    if len(signature) != 64 or s >= Q:
        return False
    h = int.from_bytes(hashlib.sha512(r + public_key + message).digest(), "little") % Q
    left, right = times(s, BASE), add(point_of(r), times(h, point_of(public_key)))
    return (left[0] * right[2] - right[0] * left[2]) % P == 0 and (
        left[1] * right[2] - right[1] * left[2]
    ) % P == 0


def read_key(text):
    name, key_id, body = text.split("+", 2)
    raw = base64.b64decode(body, validate=True)
    wanted = hashlib.sha256(name.encode() + b"\n" + raw).digest()[:4]
    if wanted.hex() != key_id:
        raise ValueError("the key id does not fit " + name)
    return name, wanted, raw[0], raw[1:]


def main():
    note = open(sys.argv[1], encoding="utf-8").read()
    text, _, tail = note.rpartition("\n\n")
    text += "\n"
    lines = tail.splitlines()
    (log_name, log_id, log_type, log_key) = read_key(sys.argv[2])
    (name, key_id, kind, key) = read_key(sys.argv[3])
    if log_type != 1 or kind != 4 or log_name != text.split("\n")[0]:
        raise ValueError("not the keys of a log and its witness")
    found = {}
    for line in lines:
        dash, by, body = line.split(" ")
        if dash != "\u2014":
            raise ValueError("no signature line")
        raw = base64.b64decode(body, validate=True)
        found[(by, raw[:4])] = raw[4:]
    if not holds(log_key, text.encode(), found[(log_name, log_id)]):
        raise ValueError("the log's signature does not hold")
    signature = found[(name, key_id)]
    at = int.from_bytes(signature[:8], "big")
    message = f"cosignature/v1\ntime {at}\n{text}".encode()
    if len(signature) != 72 or not holds(key, message, signature[8:]):
        raise ValueError("the cosignature does not hold")
    print("ok", at)


try:
    main()
except (ValueError, KeyError) as trouble:
    sys.exit(f"refused: {trouble}")
