/** What can be out of order, and how it is told. Recording is never refused for it. */

export const FLAG_KINDS = {
  'done-before-consent': {
    label: 'done before consent',
    sentence: '{operation} was recorded for {when}; no consent covered it on that day.',
  },
  'consent-expired': {
    label: 'consent had run out',
    sentence: '{operation} was recorded for {when}; the consent had run out on {expired}.',
  },
  'consent-condition-open': {
    label: 'condition of the consent open',
    sentence: 'The consent of {given} asks for “{condition}”, and nobody has said that it was met.',
  },
  departure: {
    label: 'departure from what was consented',
    sentence: '{operation}: {differs}.',
  },
  'reason-missing': {
    label: 'reason not stated',
    sentence: '{operation} needs a stated reason, and none was given.',
  },
  'material-expired': {
    label: 'material past its date',
    sentence: '{material}, batch {batch}, was good until {expires}; it was used on {when}.',
  },
  'piece-missing': {
    label: 'piece missing',
    sentence: '{piece} is not accounted for: {where}.',
  },
  'broken-in-transit': {
    label: 'broken on the way',
    sentence: '{what} broke between {from} and {to}.',
  },
  'condition-differs': {
    label: 'condition differs on arrival',
    sentence: 'It left as {left} and arrived as {arrived}.',
  },
} as const satisfies Record<string, FlagWord>;

export interface FlagWord {
  readonly label: string;
  /** `{name}` is filled in with the value of that name */
  readonly sentence: string;
}

export type FlagKind = keyof typeof FLAG_KINDS;

/** The kind's sentence with its values; a value that nobody gave is told as not given. */
export function flagSentence(
  kind: FlagKind,
  values: Readonly<Record<string, string | number>>,
): string {
  return FLAG_KINDS[kind].sentence.replace(/\{(\w+)\}/g, (_, name: string) =>
    String(values[name] ?? 'not given'),
  );
}
