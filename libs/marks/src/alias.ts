/** Earlier numbers that other studios and archives gave to a window, panel or piece. */

export interface Alias {
  /** whose way of numbering: `fr`, a survey, an archive's shelf mark … */
  scheme: string;
  /** the number as it is written there; never converted, since that needs the other plan */
  text: string;
  /** where it was found */
  source: string;
}

/**
 * The form under which aliases are found: compatibility forms folded, case and the kind and number
 * of separators ignored (`Baie 103, A2` is found by `baie 103 a2`).
 */
export function aliasKey(text: string): string {
  return text
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[\s.,;:/_\-\u2010-\u2015]+/gu, ' ')
    .trim();
}
