/**
 * Printing. Drawings are laid out in pixels of the screen; on paper there are fewer, and nothing tells a page how many.
 * So they are laid out anew for the narrowest usual sheet, A4 upright within its margins, just before it is printed.
 */
import { flushSync } from 'svelte';

/** Room on A4 upright within the margins of `base.css`, in CSS pixels; Letter is wider. */
export const PAPER = { width: 690, height: 396 } as const;

class Paper {
  printing = $state(false);

  constructor() {
    if (typeof addEventListener === 'undefined') return;
    const turn = (printing: boolean) => (): void =>
      flushSync(() => {
        this.printing = printing;
      });
    addEventListener('beforeprint', turn(true));
    addEventListener('afterprint', turn(false));
  }
}

export const paper = new Paper();
