/** What the plan needs to know of a vehicle, by the names that the page uses. Made from the program's own types: see `npm run types`. */
export type {
  Column,
  Drawing as Picture,
  DrawnConductor as PictureConductor,
  DrawnJoint as PictureJoint,
  DrawnLoad as PictureLoad,
  DrawnPoint as PicturePoint,
  DrawnSource as PictureDevice,
  Family,
  Picture as PictureAnswer,
} from './openapi';
