/**
 * A value as JSON carries it, without writing it as text: members that are undefined are left out,
 * dates become text. The same as `JSON.parse(JSON.stringify(value))`, which takes several times as long.
 *
 * @param leftOut names of members that are left out at any depth
 */
export function plainJson(value: unknown, leftOut: readonly string[] = []): unknown {
  switch (typeof value) {
    case 'string':
    case 'boolean':
      return value;
    case 'number':
      return Number.isFinite(value) ? value + 0 : null;
    case 'object':
      break;
    default:
      return asWritten(value);
  }
  if (value === null) return null;
  if (Array.isArray(value)) return value.map((one: unknown) => plainJson(one, leftOut) ?? null);
  const prototype: unknown = Object.getPrototypeOf(value);
  if ((prototype !== Object.prototype && prototype !== null) || 'toJSON' in value)
    return asWritten(value);
  const plain: Record<string, unknown> = {};
  for (const [key, member] of Object.entries(value)) {
    if (member === undefined || leftOut.includes(key)) continue;
    const copy = plainJson(member, leftOut);
    if (copy === undefined) continue;
    // as JSON.parse has it: a member like any other
    if (key === '__proto__')
      Object.defineProperty(plain, key, {
        value: copy,
        enumerable: true,
        configurable: true,
        writable: true,
      });
    else plain[key] = copy;
  }
  return plain;
}

function asWritten(value: unknown): unknown {
  const text = JSON.stringify(value) as string | undefined;
  return text === undefined ? undefined : JSON.parse(text);
}
