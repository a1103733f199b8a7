/** How a thing was when it changed hands, and what became worse on the way. */

/** From good to bad. */
export const CUSTODY_CONDITIONS = ['sound', 'disturbed', 'broken', 'missing'] as const;
export type CustodyCondition = (typeof CUSTODY_CONDITIONS)[number];

export const CUSTODY_CONDITION_WORDS: Readonly<Record<CustodyCondition, string>> = {
  sound: 'as it should be',
  disturbed: 'disturbed: a piece, a lead or paint came loose',
  broken: 'broken',
  missing: 'not there',
};

export interface Seen {
  readonly key: string;
  readonly condition: CustodyCondition;
  readonly note: string | null;
}

export interface Arrival {
  readonly key: string;
  /** null: the sender did not say */
  readonly departed: CustodyCondition | null;
  /** null: the receiver did not look */
  readonly arrived: CustodyCondition | null;
  readonly note: string | null;
  /** it became worse between the two, or nobody saw it sound before */
  readonly isWorse: boolean;
}

/**
 * Each thing on arrival against its departure. Where the sender said nothing, a thing that arrives other
 * than sound counts as worse: nobody has said that it was so before.
 *
 * @param things that were sent, in order; what was seen besides comes after them
 */
export function arrivals(
  things: readonly string[],
  departure: readonly Seen[],
  arrival: readonly Seen[],
): Arrival[] {
  const sent = new Map(departure.map((seen) => [seen.key, seen]));
  const came = new Map(arrival.map((seen) => [seen.key, seen]));
  return [...new Set([...things, ...came.keys()])].map((key) => {
    const departed = sent.get(key)?.condition ?? null;
    const seen = came.get(key);
    const arrived = seen?.condition ?? null;
    return {
      key,
      departed,
      arrived,
      note: seen?.note ?? null,
      isWorse: arrived !== null && badness(arrived) > badness(departed ?? 'sound'),
    };
  });
}

const badness = (condition: CustodyCondition): number => CUSTODY_CONDITIONS.indexOf(condition);
