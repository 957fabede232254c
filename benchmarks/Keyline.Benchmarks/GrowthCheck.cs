using System.Diagnostics;
using System.Globalization;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Benchmarks;

/// <summary>Fails when a stage takes more than linear time: a cell of a large grid may cost at most twice one of a small grid, a hectare
/// of a large field at most twice one of a small field, a cell and step of a storm, a cell of drainage in tiles and a field of a layer of many likewise, a piece of a field in far-apart pieces at most two and a half times the field of that piece alone.
/// Says nothing about how fast a stage is.</summary>
internal static class GrowthCheck
{
    private const int Small = 500;
    private const int Large = 2000;
    private const int Rounds = 7;

    // What fits a core's cache and what does not differ by more than the work itself in stages that hardly compute, so a floor
    // is added to both: the time a cell of a copy takes from memory, generously.
    private const double Floor = 2;
    private const double MostGrowth = 2;

    // Arrays still span the ground between far-apart pieces: 1.7 was measured.
    private const double MostOfPieces = 2.5;

    // Metres.
    private const double SmallField = 300;
    private const double LargeField = 1000;
    private const double PieceSide = 200;
    private const double Apart = 1800;
    private const double Around = 300;
    private const double SquareMetresPerHectare = 1e4;
    private const int FieldRounds = 3;

    // Fields of a layer.
    private const int SmallLayer = 200;
    private const int LargeLayer = 2000;

    public static int Run()
    {
        int failed = 0;
        foreach (string kind in new[] { "valleys", "basins" })
        {
            IReadOnlyList<Stage> small = StageTimes.Of(Make(Small, kind));
            IReadOnlyList<Stage> large = StageTimes.Of(Make(Large, kind));
            double[][] few = StageTimes.Measure(small, (double)Small * Small, Rounds);
            double[][] many = StageTimes.Measure(large, (double)Large * Large, Rounds);
            for (int s = 0; s < small.Count; s++)
            {
                // The least of several runs is what the machine can do; the rest is what else it did.
                double growth = (many[s][0] + Floor) / (few[s][0] + Floor);
                bool holds = growth <= MostGrowth;
                failed += holds ? 0 : 1;
                Console.WriteLine(string.Create(
                    CultureInfo.InvariantCulture,
                    $"{(holds ? "ok    " : "FAILED")} {kind,-8} {small[s].Name,-32} {few[s][0],8:F2} -> {many[s][0],8:F2} ns a cell, x {growth:F2}"));
            }
        }

        failed += Tell("a cell and step of a storm, 1 and 9 ha, ns", Least(() => WaterTimes.PerCellAndStep(100)), Least(() => WaterTimes.PerCellAndStep(300)), MostGrowth);
        failed += Tell("a cell of drainage in tiles of 256, 4 and 64, ns", Least(() => TiledTimes.PerCell(2 * 256)), Least(() => TiledTimes.PerCell(8 * 256)), MostGrowth);
        double one = Seconds(Square(PieceSide, 0));
        failed += Tell("a hectare of a plan, 9 and 100 ha, s", Seconds(Square(SmallField, 0)) / (SmallField * SmallField / SquareMetresPerHectare), Seconds(Square(LargeField, 0)) / (LargeField * LargeField / SquareMetresPerHectare), MostGrowth);
        failed += Tell("a plan of 4 ha, and two of them 2.5 km apart, s", one, Seconds(Square(PieceSide, 0).Union(Square(PieceSide, Apart))) / 2, MostOfPieces);
        if (BatchTimes.CanMeasure)
        {
            List<(double Field, double Tables)> few = [], many = [];
            for (int round = 0; round < FieldRounds; round++)
            {
                few.Add(BatchTimes.Of(SmallLayer));
                many.Add(BatchTimes.Of(LargeLayer));
            }

            failed += Tell("a field planned, of layers of 200 and 2000, s", few.Min(b => b.Field), many.Min(b => b.Field), MostGrowth);
            failed += Tell("the tables of such layers, with ten times the rows, s", few.Min(b => b.Tables), many.Min(b => b.Tables), MostGrowth);
        }
        else
        {
            Console.WriteLine($"not measured: many fields, for want of {BatchTimes.Program} or of a system that counts its children's time");
        }

        return failed == 0 ? 0 : 1;
    }

    private static int Tell(string what, double few, double many, double most)
    {
        bool holds = many <= most * few;
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{(holds ? "ok    " : "FAILED")} {what,-50} {few,6:F3} -> {many,6:F3} of processor time, x {many / few:F2}"));
        return holds ? 0 : 1;
    }

    private static double Least(Func<double> measure) => Enumerable.Range(0, FieldRounds).Min(_ => measure());

    private static Geometry Square(double side, double offset) =>
        new GeometryFactory().ToGeometry(new Envelope(Around + offset, Around + offset + side, Around + offset, Around + offset + side));

    // Processor time, the least of a few: what the machine does besides has the least say in it.
    private static double Seconds(Geometry boundary)
    {
        ElevationGrid ground = MadeGround.Valleys((int)(boundary.EnvelopeInternal.MaxX + Around), holes: false);
        double least = double.PositiveInfinity;
        for (int round = 0; round < FieldRounds; round++)
        {
            using Process self = Process.GetCurrentProcess();
            TimeSpan before = self.TotalProcessorTime;
            KeylinePlanner.Design(ground, new FieldArea(boundary), new LayoutOptions { Spacing = 3.048 });
            self.Refresh();
            least = Math.Min(least, (self.TotalProcessorTime - before).TotalSeconds);
        }

        return least;
    }

    private static ElevationGrid Make(int side, string kind) => kind == "basins" ? MadeGround.Basins(side) : MadeGround.Valleys(side);
}
