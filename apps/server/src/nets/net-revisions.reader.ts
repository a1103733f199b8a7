import type { Readable } from 'node:stream';
import { Inject, Injectable } from '@nestjs/common';
import { getNet, type NetRevisionRow, netChange, unknown } from '#libs/archive';
import { Db } from '#libs/db';
import type { ObjectStore } from '#libs/objects';
import { Problem } from '#libs/problem';
import { OBJECTS } from '../platform/tokens.js';

export interface PanelOf {
  siteId: string;
  panelId: string;
}

/** Revisions of a panel's lead drawing, and what differs between two. */
@Injectable()
export class NetRevisions {
  constructor(
    private readonly db: Db,
    @Inject(OBJECTS) private readonly objects: ObjectStore,
  ) {}

  /** @throws {Problem} `net-unknown` */
  async one({ siteId, panelId }: PanelOf, revision: number): Promise<NetRevisionRow> {
    const row = await this.db.netRevision.findFirst({ where: { siteId, panelId, revision } });
    if (row === null) throw unknown('net');
    return row;
  }

  /** Names of people as they stand: a pseudonym for who was erased. */
  async namesOf(personIds: readonly string[]): Promise<ReadonlyMap<string, string>> {
    const people = await this.db.person.findMany({
      where: { personId: { in: [...new Set(personIds)] } },
      select: { personId: true, displayName: true },
    });
    return new Map(people.map(({ personId, displayName }) => [personId, displayName]));
  }

  /** The bytes as they were stored. */
  stored(row: NetRevisionRow): Promise<Readable> {
    return this.objects.read(row.objectDigest);
  }

  /** @throws {Problem} `net-unknown`; `request-invalid` when the two are not of one layer */
  async changes(panel: PanelOf, revision: number, since: number | undefined) {
    const after = await this.one(panel, revision);
    const before =
      since === undefined
        ? await this.db.netRevision.findFirst({
            where: { ...panelOf(panel), layer: after.layer, revision: { lt: revision } },
            orderBy: { revision: 'desc' },
          })
        : await this.one(panel, since);
    if (before === null) return { ...NOTHING, revision };
    if (before.layer !== after.layer) {
      throw new Problem(
        'request-invalid',
        `since: revision ${before.revision} is the ${before.layer} layer, revision ${revision} the ${after.layer}. Compare two drawings of one layer.`,
        { field: 'since' },
      );
    }
    const [a, b] = await Promise.all([
      getNet(this.objects, before.objectDigest),
      getNet(this.objects, after.objectDigest),
    ]);
    return { since: before.revision, revision, ...netChange(a, b) };
  }
}

function panelOf({ siteId, panelId }: PanelOf): PanelOf {
  return { siteId, panelId };
}

const NOTHING = {
  since: null,
  sentence: null,
  moved: [],
  added: [],
  erased: [],
  widths: [],
  kinds: [],
  profiles: [],
  renumbered: [],
  lettered: [],
  doubtsAnswered: 0,
};
