/** An entry in the words of the studio, by its mark: `finding on SLM.wI.2b.17`. */

/** By the first word of the entry's type. */
const WORDS: Readonly<Record<string, string>> = {
  alias: 'earlier number',
  dossier: 'dossier',
  finding: 'finding',
  intervention: 'intervention',
  key: 'archive key',
  lens: 'lens of a camera',
  media: 'picture',
  net: 'lead drawing',
  panel: 'panel',
  person: 'person',
  piece: 'piece',
  placement: 'picture laid on the panel',
  role: 'role of a person',
  rubbing: 'rubbing',
  site: 'site',
  window: 'window',
};

/** @param type of the entry, e.g. `finding.record`; @param subject its mark, or null */
export function whatIs(type: string, subject: string | null): string {
  const word = WORDS[type.split('.')[0]!] ?? type;
  if (subject === null) return word;
  return ['panel', 'piece', 'site', 'window'].includes(word)
    ? `${word} ${subject}`
    : `${word} on ${subject}`;
}
