import { describe, expect, test } from 'vitest';
import { Outbox, type Outcome, type Parcel, type Shelf } from '../../src/lib/queue/outbox';
import { memoryShelf } from '../../src/lib/queue/shelf';

function parcel(n: number): Parcel {
  return {
    cid: `cid-${n}`,
    vehicle: 1,
    kind: 'reading',
    path: `readings/cid-${n}`,
    body: { text: `${n} V` },
    blob: null,
    what: `${n} V`,
    made: `2026-11-26T00:00:0${n}Z`,
    refused: null,
  };
}

function program(): {
  arrived: string[];
  answer: (parcel: Parcel) => Promise<Outcome>;
  up: boolean;
  refuse: Set<string>;
} {
  const it = {
    arrived: [] as string[],
    up: true,
    refuse: new Set<string>(),
    answer: (one: Parcel): Promise<Outcome> => {
      if (!it.up) return Promise.resolve({ kind: 'later' });
      if (it.refuse.has(one.cid)) return Promise.resolve({ kind: 'refused', why: 'too large' });
      it.arrived.push(one.cid);
      return Promise.resolve({ kind: 'arrived' });
    },
  };
  return it;
}

const box = (shelf: Shelf, it: ReturnType<typeof program>): Outbox => new Outbox(shelf, it.answer, () => undefined);

describe('what was entered', () => {
  test('arrives once and in order after the connection was cut', async () => {
    const it = program();
    const outbox = box(memoryShelf(), it);
    it.up = false;
    for (const n of [1, 2, 3]) {
      await outbox.add(parcel(n));
      await outbox.flush();
    }
    expect(outbox.waiting.map(({ cid }) => cid)).toEqual(['cid-1', 'cid-2', 'cid-3']);
    it.up = true;
    await Promise.all([outbox.flush(), outbox.flush(), outbox.flush()]);
    await outbox.flush();
    expect(it.arrived).toEqual(['cid-1', 'cid-2', 'cid-3']);
    expect(outbox.waiting).toEqual([]);
  });

  test('survives the page: another visit takes it up and sends it', async () => {
    const shelf = memoryShelf();
    const it = program();
    it.up = false;
    const first = box(shelf, it);
    await first.add(parcel(1));
    await first.flush();
    const second = box(shelf, it);
    await second.open();
    it.up = true;
    await second.flush();
    expect(it.arrived).toEqual(['cid-1']);
    expect(await shelf.all()).toEqual([]);
  });

  test('is kept with the reason when the program refuses it, and holds nothing else up', async () => {
    const shelf = memoryShelf();
    const it = program();
    it.refuse.add('cid-1');
    const outbox = box(shelf, it);
    await outbox.add(parcel(1));
    await outbox.add(parcel(2));
    await outbox.flush();
    expect(it.arrived).toEqual(['cid-2']);
    expect(outbox.waiting.map(({ refused }) => refused)).toEqual(['too large']);
    expect((await shelf.all()).map(({ refused }) => refused)).toEqual(['too large']);
  });

  test('can be taken back before it is sent', async () => {
    const it = program();
    const outbox = box(memoryShelf(), it);
    it.up = false;
    await outbox.add(parcel(1));
    expect((await outbox.takeBack('cid-1'))?.what).toBe('1 V');
    it.up = true;
    await outbox.flush();
    expect(it.arrived).toEqual([]);
  });

  test('a double tap enters it once', async () => {
    const it = program();
    const outbox = box(memoryShelf(), it);
    await Promise.all([outbox.add(parcel(1)), outbox.add(parcel(1))]);
    await outbox.flush();
    expect(it.arrived).toEqual(['cid-1']);
  });
});
