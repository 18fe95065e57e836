/** Files that a person gives to the page. */

/** The longest vehicle or readings file that the program takes; more is not even read. */
const LARGEST = 2 << 20;

/** The text of a file; says what is wrong with one that is none or too large, instead of losing a letter of it. */
export async function textOf(file: Pick<File, 'name' | 'size' | 'arrayBuffer'>): Promise<string> {
  if (file.size > LARGEST) {
    const size = (file.size / (1 << 20)).toFixed(1);
    throw new Error(
      `${file.name} is too large: it has ${size}\u00a0MiB, and 2\u00a0MiB is the most. Nothing was changed.`,
    );
  }
  const bytes = await file.arrayBuffer();
  try {
    // The mark at the beginning is part of what was given.
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    throw new Error(
      `${file.name} is no text in UTF-8; open it in an editor and save it as UTF-8, then choose it again`,
    );
  }
}

/** Whether a file holds readings, by its name, as the command line tells them apart. */
export function holdsReadings(name: string): boolean {
  return /\.readings\.|\.(csv|txt)$/i.test(name);
}
