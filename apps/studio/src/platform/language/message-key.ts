/**
 * The name of a message in a compiled catalogue: FNV-1a over its UTF-16 units, twice with different
 * beginnings, as base 36. English stands in the code only, so a catalogue must not repeat it.
 */
export function messageKey(message: unknown): string {
  const text = typeof message === 'string' ? message : JSON.stringify(message);
  let one = 0x811c9dc5;
  let two = 0x01000193;
  for (let i = 0; i < text.length; i++) {
    const unit = text.charCodeAt(i);
    one = Math.imul(one ^ unit, 0x01000193);
    two = Math.imul(two ^ unit, 0x85ebca6b);
  }
  return (one >>> 0).toString(36) + (two >>> 0).toString(36);
}
