import { Controller, Inject } from '@nestjs/common';
import {
  Archive,
  ArchiveKeys,
  type KeptSheet,
  keysOfArchive,
  recoverySheetOf,
} from '#libs/archive';
import type { PgPool } from '#libs/db';
import { qrPath, qrRows, recoverySheetPdf } from '#libs/print';
import { Problem } from '#libs/problem';
import { type Actor, needRole } from '../platform/actor.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { POOL } from '../platform/tokens.js';
import * as routes from './keys.routes.js';

@Controller()
export class KeysController {
  constructor(
    private readonly archive: Archive,
    private readonly keys: ArchiveKeys,
    @Inject(POOL) private readonly pool: PgPool,
  ) {}

  @Route(routes.archiveKeys)
  archiveKeys() {
    return keysOfArchive(this.archive.reads);
  }

  @Route(routes.recoverySheet)
  async recoverySheet(@Asked() { actor }: AskedFor<typeof routes.recoverySheet>) {
    needKeeper(actor);
    const kept = await this.keys.sheetToPrint();
    if (kept === undefined) return { sheet: null };
    const sheet = await recoverySheetOf(this.pool, kept);
    const rows = qrRows(sheet.words.join(' '));
    return {
      sheet: {
        ...sheet,
        madeAt: sheet.madeAt.toISOString(),
        code: { path: qrPath(rows), side: rows.length },
      },
    };
  }

  @Route(routes.recoverySheetFile)
  async recoverySheetFile(@Asked() { actor, reply }: AskedFor<typeof routes.recoverySheetFile>) {
    needKeeper(actor);
    const sheet = await recoverySheetOf(this.pool, await this.#kept());
    void reply
      .type('application/pdf')
      .header('Content-Disposition', 'inline; filename="mullion-recovery-sheet.pdf"');
    return Buffer.from(await recoverySheetPdf(sheet));
  }

  @Route(routes.keepRecoverySheet)
  async keepRecoverySheet(@Asked() { actor, body }: AskedFor<typeof routes.keepRecoverySheet>) {
    needKeeper(actor);
    const { words } = await this.#kept();
    const wrong = body.words.find(({ number, word }) => words[number - 1] !== word.toLowerCase());
    if (wrong !== undefined) {
      throw new Problem(
        'recovery-words-wrong',
        `Word ${wrong.number} of the sheet is another one. Look at the printed page: is it this archive’s newest sheet?`,
        { field: `word ${wrong.number}` },
      );
    }
    this.keys.destroyWords();
    return { destroyed: true };
  }

  /** @throws {Problem} `recovery-sheet-gone` */
  async #kept(): Promise<KeptSheet> {
    const kept = await this.keys.sheetToPrint();
    if (kept !== undefined) return kept;
    throw new Problem(
      'recovery-sheet-gone',
      'The words were destroyed here when the sheet was printed. For a new sheet run: mullion admin recovery-sheet',
    );
  }
}

/** A program that reads the archive by a token has no business with its secret. */
function needKeeper(actor: Actor): void {
  needRole(actor, null, 'keeper');
  if (actor.via === 'cookie') return;
  throw new Problem(
    'token-scope',
    'The recovery sheet is shown to a keeper who signed in, not to a program with a token.',
  );
}
