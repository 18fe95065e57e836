/**
 * Zoom and pan. While a hand moves, the picture that is already there is moved as it is; a moment after, everything is
 * drawn anew at its place, with names where they have room. So the plan moves smoothly however much is on it.
 */
import { select } from 'd3-selection';
import { type D3ZoomEvent, type ZoomBehavior, zoom, zoomIdentity } from 'd3-zoom';
import type { View } from './wanted';

export const HOME: View = { k: 1, x: 0, y: 0 };
const STILL_MS = 110;

export class Zooming {
  /** Where the hand has brought it. */
  view = $state.raw<View>(HOME);
  /** Where it was last drawn. */
  drawn = $state.raw<View>(HOME);
  /** From drawn to seen, as a transform of the whole picture. */
  readonly shift = $derived.by(() => {
    const ratio = this.view.k / this.drawn.k;
    const x = this.view.x - this.drawn.x * ratio;
    const y = this.view.y - this.drawn.y * ratio;
    return `translate(${x}px, ${y}px) scale(${ratio})`;
  });
  #behaviour: ZoomBehavior<HTMLElement, unknown> | undefined;
  #node: HTMLElement | undefined;
  #later: ReturnType<typeof setTimeout> | undefined;

  /** Listens on an element; `mayDrag` says whether a press moves the picture just now. */
  attach(node: HTMLElement, mayDrag: () => boolean): () => void {
    this.#node = node;
    const behaviour = zoom<HTMLElement, unknown>()
      .scaleExtent([1, 12])
      .filter((event: Event) => {
        if (event instanceof WheelEvent) {
          // At the limit the wheel belongs to the page.
          return event.ctrlKey || this.view.k > 1 || event.deltaY < 0;
        }
        return mayDrag() && (!('button' in event) || event.button === 0);
      })
      .on('zoom', ({ transform }: D3ZoomEvent<HTMLElement, unknown>) => {
        this.view = { k: transform.k, x: transform.x, y: transform.y };
        clearTimeout(this.#later);
        this.#later = setTimeout(() => {
          this.drawn = this.view;
        }, STILL_MS);
      });
    this.#behaviour = behaviour;
    select(node).call(behaviour).on('dblclick.zoom', null);
    return () => {
      clearTimeout(this.#later);
      select(node).on('.zoom', null);
    };
  }

  /** Tells how large the picture is, so that it cannot be pushed out of sight. */
  fit(width: number, height: number): void {
    const whole: [[number, number], [number, number]] = [
      [0, 0],
      [width, height],
    ];
    this.#behaviour?.translateExtent(whole).extent(whole);
  }

  by(factor: number): void {
    if (this.#node) this.#behaviour?.scaleBy(select(this.#node), factor);
  }

  home(): void {
    if (this.#node) this.#behaviour?.transform(select(this.#node), zoomIdentity);
  }
}
