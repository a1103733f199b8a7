/** A lead or a joint in words; one that was drawn just before has no number yet. */
export const sayPart = (what: 'lead' | 'joint', id: string): string =>
  id.includes('+') ? `a new ${what}` : `${what} ${id}`;
