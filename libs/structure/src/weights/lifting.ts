/** How a weight is carried: an aid to planning, never a rule that replaces the law and the people there. */

export interface Lifting {
  readonly people: number;
  readonly needsGear: boolean;
  readonly sentence: string;
}

/** What a person takes of a panel on edge without strain. Common practice, no source. */
export const PERSON_KG = 25;

export function liftingOf(kg: number): Lifting {
  if (kg <= PERSON_KG) {
    return {
      people: 2,
      needsGear: false,
      sentence: 'two people, on edge, on a board',
    };
  }
  if (kg <= 2 * PERSON_KG) {
    return {
      people: 4,
      needsGear: false,
      sentence: `more than ${PERSON_KG} kg: four people or a lifting aid, on edge, on a board`,
    };
  }
  return {
    people: 4,
    needsGear: true,
    sentence: `more than ${2 * PERSON_KG} kg: by lifting gear, not by hand`,
  };
}
