/** Where a browser puts small things by their name, to have them without a connection. */
export interface Drawer {
  get(key: string): string | null;
  set(key: string, value: string): void;
}

/** This browser's own drawer; a full or forbidden one keeps nothing and says nothing. */
export const browserDrawer: Drawer = {
  get: (key) => {
    try {
      return localStorage.getItem(key);
    } catch {
      return null;
    }
  },
  set: (key, value) => {
    try {
      localStorage.setItem(key, value);
    } catch {
      // The answer is shown all the same.
    }
  },
};
