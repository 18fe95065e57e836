/** How this person wants it shown; kept in this browser. */
import { type Locale, POINT, type Units } from './quantity/format';
import type { Region } from './words';

export type Theme = 'auto' | 'light' | 'dark' | 'sun';

const STORE = 'groundloom.settings';

interface Kept {
  units: Units;
  region: Region;
  theme: Theme;
}

function usual(): Kept {
  const american = typeof navigator !== 'undefined' && navigator.language === 'en-US';
  return { units: american ? 'us' : 'metric', region: american ? 'american' : 'british', theme: 'auto' };
}

function kept(): Kept {
  try {
    return { ...usual(), ...(JSON.parse(localStorage.getItem(STORE) ?? '{}') as Partial<Kept>) };
  } catch {
    return usual();
  }
}

function decimalSign(): Locale {
  const part = new Intl.NumberFormat().formatToParts(1.5).find(({ type }) => type === 'decimal');
  return part?.value === ',' ? { decimal: ',' } : POINT;
}

export class Settings {
  units = $state<Units>('metric');
  region = $state<Region>('british');
  theme = $state<Theme>('auto');
  readonly locale = decimalSign();

  constructor() {
    const { units, region, theme } = kept();
    this.units = units;
    this.region = region;
    this.theme = theme;
    this.#apply();
  }

  /** Changes some settings, shows them and keeps them. */
  change(some: Partial<Kept>): void {
    Object.assign(this, some);
    this.#apply();
    try {
      localStorage.setItem(STORE, JSON.stringify({ units: this.units, region: this.region, theme: this.theme }));
    } catch {
      // A browser that keeps nothing still shows the change.
    }
  }

  #apply(): void {
    document.documentElement.dataset['theme'] = this.theme;
  }
}

export const settings = new Settings();
