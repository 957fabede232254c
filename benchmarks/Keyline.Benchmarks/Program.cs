using System.Globalization;
using BenchmarkDotNet.Running;
using Keyline.Benchmarks;
using Keyline.Formats;

// "growth" checks that no stage takes more than linear time; "stages" times them side by side; "memory" takes the peak of the
// in-memory chain; "large SIDE FOLDER MEGABYTES WORKERS" runs a grid in files;
// "landform SIDE ROUNDS CELL" times the reading of a landform at three sizes up to a side, stage by stage, cells of so many metres;
// "layout SIDE ROUNDS" times a whole plan on square fields at four sizes up to a side, stage by stage;
// "guidance LINES POINTS FOLDER" times the writing of guidance in every form;
// "driven LINES POINTS ROUNDS" times the holding of a track against lines at three sizes;
// "read FILE ROUNDS" times reading a file whole and a hundredth of it;
// "soil POINTS SIDE ROUNDS" times the way from points to a map;
// "water SIDE ROUNDS" times a storm on a square field without lines and with them;
// "report SIDE ROUNDS CENTIMETRES" times the drawing of a finished plan whose lines are so far apart: page, picture, sheets;
// "fields COUNT FOLDER" writes fields of a hectare and their ground for keyline batch, one in a hundred broken;
// "ground SIDE FILE [whole]" writes the ground that is measured, without its holes if asked, "ground SIDE FILE repeated" a block of it over
// and over, for grids larger than memory; anything else goes to BenchmarkDotNet.
int Number(int at, int otherwise) => args.Length > at ? int.Parse(args[at], CultureInfo.InvariantCulture) : otherwise;
switch (args.FirstOrDefault())
{
    case "growth":
        return GrowthCheck.Run();
    case "stages":
        return StageTimes.Print(Number(1, 4000), args.ElementAtOrDefault(2) ?? "valleys", Number(3, 7));
    case "memory":
        return StageTimes.PrintMemory(Number(1, 4000));
    case "large":
        return LargeRun.Print(Number(1, 16000), args.ElementAtOrDefault(2) ?? Path.GetTempPath(), Number(3, 512), Number(4, 1));
    case "landform":
        return LandformTimes.Print(Number(1, 2000), Number(2, 5), Number(3, 1));
    case "layout":
        return LayoutTimes.Print(Number(1, 1600), Number(2, 3));
    case "guidance":
        return GuidanceTimes.Print(Number(1, 100_000), Number(2, 200), args.ElementAtOrDefault(3) ?? Path.GetTempPath());
    case "driven":
        return DrivenTimes.Print(Number(1, 2000), Number(2, 400), Number(3, 5));
    case "read":
        return ReadTimes.Print(args[1], Number(2, 9));
    case "soil":
        return SoilTimes.Print(Number(1, 5000), Number(2, 1000), Number(3, 3));
    case "water":
        return WaterTimes.Print(Number(1, 400), Number(2, 3));
    case "report":
        return ReportTimes.Print(Number(1, 800), Number(2, 5), Number(3, 200) / 100.0);
    case "fields":
        return MadeFields.Write(Number(1, 2000), args.ElementAtOrDefault(2) ?? "made-fields");
    case "ground":
        using (FileStream stream = File.Create(args[2]))
        {
            GroundCrs crs = GroundCrs.FromEpsg(32610);
            if (args.ElementAtOrDefault(3) == "repeated")
            {
                GeoTiffWriter.Write(stream, new RepeatedGround(Number(1, 40_000)), crs, new GeoTiffWriteOptions { AreHeights = true });
            }
            else
            {
                GeoTiffWriter.Write(stream, MadeGround.Valleys(Number(1, 4000), args.ElementAtOrDefault(3) != "whole"), crs);
            }
        }

        return 0;
    default:
        BenchmarkSwitcher.FromAssembly(typeof(GrowthCheck).Assembly).Run(args);
        return 0;
}
