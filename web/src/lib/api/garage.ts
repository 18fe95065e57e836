/** What the program keeps, by the names that the page uses. Made from the program's own types: see `npm run types`. */
export type {
  BothTexts as Conflict,
  Entry,
  EntryList as ReadingsAnswer,
  FileVersion as Version,
  KeptResult,
  ListedVehicle as VehicleRow,
  Me,
  Meaning,
  Photo,
  Proof,
  ReadingsFile,
  Role,
  Undo,
  VehicleBody as Vehicle,
  Work,
} from './openapi';
