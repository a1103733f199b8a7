/** Who outside this archive is asked to remember its checkpoints, as the configuration names them. */
import { z } from 'zod';
import { parseVerifierKey, type VerifierKey } from '#libs/ledger';

export interface WitnessPlace {
  /** submission prefix: `add-checkpoint` is asked below it */
  readonly url: string;
  readonly key: VerifierKey;
}

export interface OutsideConfig {
  readonly witnesses: readonly WitnessPlace[];
  readonly witnessEveryMs: number;
  readonly timeAuthority: { readonly url: string; readonly caFile: string | undefined } | undefined;
  readonly timeEveryMs: number;
}

/** `URL VERIFIER-KEY`, several divided by `;` or line feeds. */
export const witnessPlaces = z.string().transform((text, ctx): readonly WitnessPlace[] =>
  text
    .split(/[;\n]/)
    .map((part) => part.trim())
    .filter((part) => part !== '')
    .flatMap((part) => {
      const [url, keyText, ...more] = part.split(/\s+/);
      const key = parseVerifierKey(keyText ?? '');
      if (
        key === undefined ||
        more.length > 0 ||
        !/^https?:\/\//.test(url!) ||
        !URL.canParse(url!)
      ) {
        ctx.addIssue({
          code: 'custom',
          message: `expected "https://… name+id+key", several divided by ";"; got "${part.slice(0, 80)}"`,
        });
        return [];
      }
      return [{ url: url!.replace(/\/$/, ''), key }];
    }),
);
