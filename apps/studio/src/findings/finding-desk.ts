/**
 * The findings of one panel on their way into the archive. What was drawn is kept here, and in the browser
 * across a reload, until the archive has it, so that the hand goes on drawing while one is being sent; one
 * after the other, each with a key of its own that keeps it from being recorded twice. The last act can be
 * taken back: what was not sent is dropped, what was recorded is withdrawn, which the ledger keeps.
 */
import type { Finding, FindingBody } from '../platform/api/findings.js';

export interface DrawnItem {
  readonly key: string;
  readonly body: FindingBody;
  /** 'kept': the archive has it, and the list may not show it yet */
  readonly state: 'waiting' | 'sending' | 'refused' | 'kept';
  readonly why?: string;
  readonly findingId?: string;
}

/** Things done at once, taken back at once: 'crack', '4 copies of corrosion'. */
export interface DeskAct {
  readonly words: string;
  readonly keys: readonly string[];
}

export interface DeskPorts {
  readonly send: (body: FindingBody, key: string) => Promise<Finding>;
  readonly withdraw: (findingId: string, version: number) => Promise<unknown>;
  readonly newKey: () => string;
  /** a sentence for a person, and whether sending it again can help */
  readonly trouble: (error: unknown) => { readonly why: string; readonly isFinal: boolean };
  readonly keep: (items: readonly DrawnItem[]) => void;
  readonly kept: () => readonly DrawnItem[];
}

export interface DeskState {
  readonly items: readonly DrawnItem[];
  readonly acts: readonly DeskAct[];
  /** why sending stopped, or taking back was refused */
  readonly why: string | null;
}

export class FindingDesk {
  readonly #ports: DeskPorts;
  readonly #listeners = new Set<() => void>();
  readonly #versions = new Map<string, number>();
  #state: DeskState;
  #isSending = false;

  constructor(ports: DeskPorts) {
    this.#ports = ports;
    // What was under way when the page closed is sent again under its own key.
    const items = ports.kept().map((item): DrawnItem => ({ ...item, state: 'waiting' }));
    this.#state = { items, acts: [], why: null };
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };

  readonly state = (): DeskState => this.#state;

  /** Takes what was drawn; resolves when nothing waits any more or sending stopped. */
  record(words: string, bodies: readonly FindingBody[]): Promise<void> {
    if (bodies.length === 0) return Promise.resolve();
    const items = bodies.map(
      (body): DrawnItem => ({ key: this.#ports.newKey(), body, state: 'waiting' }),
    );
    const act = { words, keys: items.map(({ key }) => key) };
    this.#set({
      items: [...this.#state.items, ...items],
      acts: [...this.#state.acts, act],
      why: null,
    });
    return this.send();
  }

  /** Sends what waits, in the order in which it was drawn. */
  async send(): Promise<void> {
    if (this.#isSending) return;
    this.#isSending = true;
    try {
      for (let next = this.#next(); next; next = this.#next()) {
        this.#put(next.key, { state: 'sending' });
        try {
          const { findingId, version } = await this.#ports.send(next.body, next.key);
          this.#versions.set(findingId, version);
          this.#put(next.key, { state: 'kept', findingId });
        } catch (error) {
          const { why, isFinal } = this.#ports.trouble(error);
          this.#put(next.key, isFinal ? { state: 'refused', why } : { state: 'waiting' });
          this.#set({ why });
          if (!isFinal) return;
        }
      }
    } finally {
      this.#isSending = false;
    }
  }

  /** Takes the last act back. */
  async undo(): Promise<void> {
    const act = this.#state.acts.at(-1);
    if (!act) return;
    // Gone from the list at once: pressed twice, two acts are taken back.
    this.#set({ acts: this.#state.acts.slice(0, -1), why: null });
    try {
      for (const key of act.keys) {
        // One that is on its way is in the archive in a moment, or waits again.
        while (this.#item(key)?.state === 'sending') await this.#changed();
        const item = this.#item(key);
        if (item?.findingId !== undefined) {
          await this.#ports.withdraw(item.findingId, this.#versions.get(item.findingId)!);
        }
        this.#remove(key);
      }
    } catch (error) {
      const keys = act.keys.filter((key) => this.#item(key) !== undefined);
      this.#set({
        acts: [...this.#state.acts, { ...act, keys }],
        why: this.#ports.trouble(error).why,
      });
    }
  }

  /** Forgets one that the archive refused. */
  drop(key: string): void {
    this.#remove(key);
    this.#set({
      acts: this.#state.acts
        .map((act) => ({ ...act, keys: act.keys.filter((one) => one !== key) }))
        .filter(({ keys }) => keys.length > 0),
    });
  }

  #next(): DrawnItem | undefined {
    return this.#state.items.find(({ state }) => state === 'waiting');
  }

  #item(key: string): DrawnItem | undefined {
    return this.#state.items.find((item) => item.key === key);
  }

  #put(key: string, change: Partial<DrawnItem>): void {
    this.#set({
      items: this.#state.items.map((item) => (item.key === key ? { ...item, ...change } : item)),
    });
  }

  #remove(key: string): void {
    this.#set({ items: this.#state.items.filter((item) => item.key !== key) });
  }

  #changed(): Promise<void> {
    return new Promise((resolve) => {
      const leave = this.subscribe(() => {
        leave();
        resolve();
      });
    });
  }

  #set(change: Partial<DeskState>): void {
    this.#state = { ...this.#state, ...change };
    this.#ports.keep(this.#state.items.filter(({ state }) => state !== 'kept'));
    for (const listener of [...this.#listeners]) listener();
  }
}
