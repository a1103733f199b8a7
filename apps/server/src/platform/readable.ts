import { Injectable } from '@nestjs/common';
import { type Target, unknown } from '#libs/archive';
import { Db } from '#libs/db';
import { type Actor, inReadableSites } from './actor.js';

/** The site of a thing, if the actor may read it; asked of the database in one query. */
@Injectable()
export class Readable {
  constructor(private readonly db: Db) {}

  /** @throws {Problem} `site-unknown` */
  async site(actor: Actor, siteId: string) {
    const where = { AND: [{ siteId }, inReadableSites(actor)] };
    return found('site', await this.db.site.findFirst({ where }));
  }

  /** @throws {Problem} `window-unknown` */
  async window(actor: Actor, windowId: string) {
    const where = { AND: [{ windowId }, inReadableSites(actor)] };
    return found('window', await this.db.window.findFirst({ where }));
  }

  /** @throws {Problem} `panel-unknown` */
  async panel(actor: Actor, panelId: string) {
    const where = { AND: [{ panelId }, inReadableSites(actor)] };
    return found('panel', await this.db.panel.findFirst({ where }));
  }

  /** @throws {Problem} `campaign-unknown` */
  async campaign(actor: Actor, campaignId: string) {
    const where = { AND: [{ campaignId }, inReadableSites(actor)] };
    return found('campaign', await this.db.campaign.findFirst({ where }));
  }
}

function found<T>(target: Target, row: T | null): T {
  if (row === null) throw unknown(target);
  return row;
}
