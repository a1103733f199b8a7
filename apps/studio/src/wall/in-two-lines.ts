/** Letters of a name that a phone shows in one line. */
const ONE_LINE = 26;

/** A long name broken at the space nearest its middle. */
export function inTwoLines(name: string): string {
  if (name.length <= ONE_LINE) return name;
  const spaces = [...name.matchAll(/ /g)].map(({ index }) => index);
  const from = (space: number) => Math.abs(space - name.length / 2);
  const [nearest] = spaces.sort((a, b) => from(a) - from(b));
  return nearest === undefined ? name : `${name.slice(0, nearest)}\n${name.slice(nearest + 1)}`;
}
