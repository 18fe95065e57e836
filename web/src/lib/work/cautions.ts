/** Which cautions concern what is done where: the program says, this finds them. */
import type { Picture } from '../api/picture';
import type { Caution } from '../api/types';

/** Each once, in the order of the picture; a picture kept from an earlier program names none. */
function named(picture: Picture, keys: Iterable<string>): Caution[] {
  const wanted = new Set(keys);
  return (picture.cautions ?? []).filter(({ key }) => wanted.has(key));
}

function keysOfJoints(picture: Picture, joints: ReadonlySet<string>): string[] {
  return picture.joints.filter(({ id }) => joints.has(id)).flatMap(({ cautions }) => cautions ?? []);
}

/** The joints of a thing: itself, or both ends of a conductor. */
function jointsOf(picture: Picture, id: string): string[] {
  const own = picture.conductors.find((one) => one.id === id);
  return own ? [own.from_joint, own.to_joint] : [id];
}

/** What concerns work on a joint, or on a conductor with its joints. */
export function cautionsOn(picture: Picture, id: string): Caution[] {
  return named(picture, keysOfJoints(picture, new Set(jointsOf(picture, id))));
}

/** What concerns a new cable between two points. */
export function cautionsOfCable(picture: Picture, from: string, to: string): Caution[] {
  const ends = picture.points.filter(({ id }) => id === from || id === to);
  return named(
    picture,
    ends.flatMap((own) => own.new_end_cautions ?? []),
  );
}

/** What concerns taking readings, besides the usual. */
export function cautionsOfReading(picture: Picture): Caution[] {
  return named(picture, picture.reading_cautions ?? []);
}
