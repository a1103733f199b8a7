/** '2b' → 'row 2, second light from the left' (marks: product.md, as seen from inside). */
export function sayPlace(mark: string): string {
  const match = /^(\d+)([a-z]+)$/.exec(mark);
  if (!match) return /^[A-Z]\d+$/.test(mark) ? 'tracery' : mark;
  const letters = match[2]!;
  const index = letters.length === 1 ? letters.charCodeAt(0) - 97 : -1;
  const ordinals = ['first', 'second', 'third', 'fourth', 'fifth', 'sixth', 'seventh', 'eighth'];
  const light = ordinals[index] ? `${ordinals[index]} light from the left` : `light ${letters}`;
  return `row ${match[1]!} from the bottom, ${light}`;
}
