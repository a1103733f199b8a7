/** A letter for each glass of a panel, in the order in which it comes in the drawing: A, B, … Z, AA. */
export function glassLetters(
  choices: readonly { readonly materialId: string }[],
): ReadonlyMap<string, string> {
  const letters = new Map<string, string>();
  for (const { materialId } of choices) {
    if (!letters.has(materialId)) letters.set(materialId, letterOf(letters.size));
  }
  return letters;
}

function letterOf(nth: number): string {
  const last = String.fromCharCode(65 + (nth % 26));
  return nth < 26 ? last : letterOf(Math.floor(nth / 26) - 1) + last;
}

/** Numbers as typed, `1-4, 7 9a`: those of the drawing, and what is none of them. */
export function piecesTyped(
  text: string,
  pieces: readonly string[],
): { readonly found: readonly string[]; readonly unknown: readonly string[] } {
  const found = new Set<string>();
  const unknown: string[] = [];
  for (const word of text.split(/[\s,;]+/).filter((part) => part !== '')) {
    const range = /^(\d+)[-–](\d+)$/.exec(word);
    const named = range
      ? pieces.filter((piece) => {
          const number = Number.parseInt(piece, 10);
          return number >= Number(range[1]) && number <= Number(range[2]);
        })
      : pieces.filter((piece) => piece === word);
    if (named.length === 0) unknown.push(word);
    for (const piece of named) found.add(piece);
  }
  return { found: [...found], unknown };
}
