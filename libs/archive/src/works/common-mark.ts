/** The smallest place that holds all of these full marks: of `SLM.wI.2a` and `SLM.wI.2b` it is `SLM.wI`. */
export function commonMark(marks: readonly string[]): string {
  const [first, ...others] = marks.map((mark) => mark.split('.'));
  let length = first!.length;
  for (const parts of others) {
    let same = 0;
    while (same < length && parts[same] === first![same]) same++;
    length = same;
  }
  return first!.slice(0, length).join('.');
}

/** A mark lies in a place when it is the place, or begins with it and a dot. */
export function isWithin(mark: string, place: string): boolean {
  return mark === place || mark.startsWith(`${place}.`);
}
