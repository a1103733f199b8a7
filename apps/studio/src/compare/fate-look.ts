/** How two drawings laid over each other show what became of each lead. */

/** How a lead fared from the earlier drawing to the later one. */
export type Fate = 'same' | 'was' | 'moved' | 'added' | 'erased' | 'altered';

/**
 * On the dark table. Sky blue and orange of Okabe and Ito, lightened where the ground is dark; what two
 * kinds of colour blindness would mix up differs by its stroke as well: dashed or thin.
 */
export const fateLook: Readonly<
  Record<Fate, { colour: string; dashMm?: readonly number[]; isThin?: boolean }>
> = {
  same: { colour: '#79838a' },
  was: { colour: '#6fc3f5', dashMm: [4, 2.5], isThin: true },
  moved: { colour: '#e2a42b' },
  added: { colour: '#4fd8a8' },
  erased: { colour: '#ff8a5c', dashMm: [2.2, 2.2] },
  altered: { colour: '#e3b5d3' },
};
