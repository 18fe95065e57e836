/** The outbox on this device: IndexedDB, or memory where a browser keeps nothing. */
import { type DBSchema, openDB } from 'idb';
import type { Parcel, Shelf } from './outbox';

interface Cellar extends DBSchema {
  parcels: { key: string; value: Parcel };
}

/** Opens the shelf; `lasting` is false where nothing survives the page. */
export async function openShelf(): Promise<{ shelf: Shelf; lasting: boolean }> {
  try {
    const db = await openDB<Cellar>('groundloom', 1, {
      upgrade(cellar) {
        cellar.createObjectStore('parcels', { keyPath: 'cid' });
      },
    });
    return {
      lasting: true,
      shelf: {
        all: () => db.getAll('parcels'),
        put: async (parcel) => {
          await db.put('parcels', parcel);
        },
        remove: (cid) => db.delete('parcels', cid),
      },
    };
  } catch {
    return { lasting: false, shelf: memoryShelf() };
  }
}

/** A shelf that lasts as long as the page. */
export function memoryShelf(): Shelf {
  const parcels = new Map<string, Parcel>();
  return {
    all: () => Promise.resolve([...parcels.values()]),
    put: (parcel) => {
      parcels.set(parcel.cid, parcel);
      return Promise.resolve();
    },
    remove: (cid) => {
      parcels.delete(cid);
      return Promise.resolve();
    },
  };
}
