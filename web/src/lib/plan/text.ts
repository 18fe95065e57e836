/** Widths of texts as the browser sets them; remembered, because the same names come again at each zoom. */
const known = new Map<string, number>();
let pen: CanvasRenderingContext2D | null = null;

/** Width of a label in pixels. */
export function measure(text: string, bold: boolean): number {
  const key = `${bold}${text}`;
  const had = known.get(key);
  if (had !== undefined) return had;
  pen ??= document.createElement('canvas').getContext('2d');
  if (!pen) return text.length * 7;
  pen.font = `${bold ? 600 : 450} 12.5px Plex, system-ui, sans-serif`;
  const width = pen.measureText(text).width;
  known.set(key, width);
  return width;
}

/** Once the font is there, widths are measured anew. */
export function forgetWidths(): void {
  known.clear();
}
