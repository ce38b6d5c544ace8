// What this device keeps without a network: the last answers of the API and the ticks not sent yet.
// A thin promise face over IndexedDB; where that is refused (private windows), memory stands in.

const NAME = 'tamis';
const STORES = ['answers', 'ticks', 'remarks'] as const;
export type StoreName = (typeof STORES)[number];

const inMemory = new Map<string, Map<IDBValidKey, unknown>>(STORES.map((s) => [s, new Map()]));
let opening: Promise<IDBDatabase | null> | null = null;

function open(): Promise<IDBDatabase | null> {
  opening ??= new Promise((resolve) => {
    try {
      const request = indexedDB.open(NAME, 1);
      request.onupgradeneeded = () => {
        for (const store of STORES) request.result.createObjectStore(store);
      };
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => resolve(null);
    } catch {
      resolve(null);
    }
  });
  return opening;
}

async function run<T>(
  store: StoreName,
  mode: IDBTransactionMode,
  act: (objects: IDBObjectStore) => IDBRequest,
  standIn: (objects: Map<IDBValidKey, unknown>) => T,
): Promise<T> {
  const db = await open();
  if (db === null) return standIn(inMemory.get(store) ?? new Map());
  return new Promise((resolve, reject) => {
    const transaction = db.transaction(store, mode);
    const request = act(transaction.objectStore(store));
    transaction.oncomplete = () => resolve(request.result as T);
    transaction.onerror = transaction.onabort = () => reject(transaction.error);
  });
}

export function keep(store: StoreName, key: IDBValidKey, value: unknown): Promise<unknown> {
  return run<unknown>(
    store,
    'readwrite',
    (objects) => objects.put(value, key),
    (objects) => objects.set(key, value),
  );
}

export function kept<T>(store: StoreName, key: IDBValidKey): Promise<T | undefined> {
  return run<T | undefined>(
    store,
    'readonly',
    (objects) => objects.get(key),
    (objects) => objects.get(key) as T | undefined,
  );
}

/** Every value of a store, in the order of its keys. */
export function allKept<T>(store: StoreName): Promise<T[]> {
  return run<T[]>(
    store,
    'readonly',
    (objects) => objects.getAll(),
    (objects) => [...objects.keys()].sort().map((key) => objects.get(key) as T),
  );
}

export function forget(store: StoreName, key: IDBValidKey): Promise<unknown> {
  return run<unknown>(
    store,
    'readwrite',
    (objects) => objects.delete(key),
    (objects) => objects.delete(key),
  );
}

export function forgetAll(store: StoreName): Promise<unknown> {
  return run<unknown>(
    store,
    'readwrite',
    (objects) => objects.clear(),
    (objects) => objects.clear(),
  );
}
