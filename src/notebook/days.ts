export {isDay} from "../../shared/calendarDay.ts";
