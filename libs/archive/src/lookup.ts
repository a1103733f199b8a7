/**
 * A question by key that many can ask at once: of one thing when a person waits alone, of all that a
 * batch of commands needs in one statement.
 */

export interface Lookup<R> {
  /**
   * `$1`, `$2`, … are arrays, one for each part of the key; or `$1` is a JSON array of objects when
   * `members` names the parts
   */
  readonly text: string;
  readonly members?: readonly string[];
  /** tables whose change changes the answer */
  readonly tables: readonly string[];
  /** further tables that are read, whose rows stay as they are once they are there */
  readonly appended?: readonly string[];
  /**
   * rows of small tables that change seldom beside how often they are asked for: answers are remembered
   * between batches, for as long as the logs that could change them stand where they stood. Only the
   * studio's log can where that is said; else it, or the log of the site that each row names as `siteId`
   */
  readonly steadyIn?: 'site' | 'studio';
  /**
   * asked with nearly every command: the connection prepares it, as it does steady ones. Its text reaches
   * the rows of each key by an index, however large the table is when the plan is made
   */
  readonly isPrepared?: boolean;
  /** set when the answer is the row of this table that has this very key, whole */
  readonly rowOf?: string;
  /** the key that a row of the answer belongs to */
  keyOf(row: R): readonly (string | number)[];
}

/** Values of the lookup's statement for these keys. */
export function lookupValues(
  { members }: Pick<Lookup<never>, 'members'>,
  keys: readonly (readonly (string | number)[])[],
): unknown[] {
  if (members === undefined) return keys[0]!.map((_, part) => keys.map((key) => key[part]));
  const objects = keys.map((key) => Object.fromEntries(members.map((name, i) => [name, key[i]])));
  return [JSON.stringify(objects)];
}

/** A key as text, for maps. */
export function keyText(key: readonly (string | number)[]): string {
  return key.length === 1 ? String(key[0]) : key.join('\n');
}
