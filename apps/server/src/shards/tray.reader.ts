import { Injectable } from '@nestjs/common';
import {
  Archive,
  type AssemblyRow,
  askedSchema,
  getJson,
  type JoiningRow,
  joiningView,
  type PanelPlace,
  pieceOutline,
  type ShardsProposal,
  unknown,
  without,
} from '#libs/archive';

interface PictureRow {
  readonly mediaId: string;
  readonly fileName: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly face: string | null;
  readonly subjects: readonly string[];
  readonly recordedAt: Date;
}

/** What lies in the tray of one broken piece. */
@Injectable()
export class TrayReader {
  constructor(private readonly archive: Archive) {}

  async tray({ siteId, panelId, fullMark }: PanelPlace, piece: string) {
    const { reads: tx, objects } = this.archive;
    const { number, netRevision, outlineMm } = await pieceOutline({ tx, objects }, panelId, piece);
    const [assembly] = await tx.query<AssemblyRow>(
      'SELECT * FROM assembly WHERE panel_id = $1 AND piece = $2 ORDER BY entry_seq DESC LIMIT 1',
      [panelId, piece],
    );
    const [kept] = await tx.query<JoiningRow>(
      `SELECT * FROM joining WHERE panel_id = $1 AND piece = $2 AND state = 'recorded'`,
      [panelId, piece],
    );
    return {
      panelId,
      piece,
      netRevision,
      outlineMm: outlineMm.map(([x, y]): [number, number] => [x, y]),
      pictures: await this.#pictures(siteId, `${fullMark}.${number}s`),
      assembly: assembly === undefined ? null : await this.#asked(assembly),
      kept:
        kept === undefined
          ? null
          : { ...joiningView(kept), proposal: (await this.#proposalOf(kept.assemblyId))! },
    };
  }

  /** @throws {Problem} `joining-unknown` */
  async joining(joiningId: string): Promise<JoiningRow> {
    const row = await this.archive.reads.first<JoiningRow>(
      'SELECT * FROM joining WHERE joining_id = $1',
      [joiningId],
    );
    if (row === undefined) throw unknown('joining');
    return row;
  }

  /** Photographs that name a shard of the piece, by shard, the newest of a shard first. */
  async #pictures(siteId: string, prefix: string) {
    const rows = await this.archive.reads.query<PictureRow>(
      `SELECT media_id, file_name, width_px, height_px, face, subjects, recorded_at FROM media
       WHERE site_id = $1 AND kind = 'photograph' AND width_px IS NOT NULL
         AND EXISTS (SELECT 1 FROM unnest(subjects) s WHERE starts_with(s, $2))
         AND NOT EXISTS (SELECT 1 FROM withdrawn_object w WHERE w.digest = media.digest)
       ORDER BY entry_seq DESC`,
      [siteId, prefix],
    );
    const inPanel = prefix.lastIndexOf('.') + 1;
    return rows
      .flatMap(({ subjects, recordedAt, ...row }) =>
        subjects
          .filter((subject) => subject.startsWith(prefix))
          .map((subject) => ({
            ...row,
            shard: subject.slice(inPanel),
            recordedAt: recordedAt.toISOString(),
          })),
      )
      .toSorted((a, b) => indexOf(a.shard) - indexOf(b.shard));
  }

  async #asked({ assemblyId, jobId, asked, proposalDigest, recordedAt }: AssemblyRow) {
    return {
      assemblyId,
      jobId,
      asked: without(askedSchema.parse(asked), 'outlineMm'),
      proposal: await this.#read(proposalDigest),
      recordedAt: recordedAt.toISOString(),
    };
  }

  async #proposalOf(assemblyId: string): Promise<ShardsProposal | null> {
    const row = await this.archive.reads.first<AssemblyRow>(
      'SELECT * FROM assembly WHERE assembly_id = $1',
      [assemblyId],
    );
    return this.#read(row?.proposalDigest ?? null);
  }

  async #read(digest: string | null): Promise<ShardsProposal | null> {
    if (digest === null) return null;
    return (await getJson(this.archive.objects, digest)) as ShardsProposal;
  }
}

const indexOf = (shard: string) => Number(shard.slice(shard.indexOf('s') + 1));
