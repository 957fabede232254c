using Keyline.Driven;
using Keyline.Formats.Tests.Support;
using Keyline.Guidance;
using Keyline.Layout;
using NetTopologySuite.Geometries;
using NetTopologySuite.LinearReferencing;

namespace Keyline.Formats.Tests.Guidance;

/// <summary>Whole plans on real ground, driven by a made tractor: what is planted must be found, and nothing else left out.</summary>
public sealed class DrivenOnRealGroundTests
{
    // Lines are driven in order with straight ways between them, steered with a wander of some 5 cm, logged every 1.7 m (6 km/h,
    // once a second) with 1 cm of noise, displaced as a whole, and three lines are left.
    [Theory]
    [InlineData("yukon_1m", 0.9, -0.5)]
    [InlineData("uk_farmland_2m", 0, 0)]
    [InlineData("gabilan_gentled_1m_b", -0.4, 0.7)]
    public void Compare_ADrivenPlan_FindsTheLinesLeftAndTheDisplacement(string field, double east, double north)
    {
        CancellationToken stop = TestContext.Current.CancellationToken;
        string outline = TrialData.File(field + ".field.geojson");
        ElevationSource ground = ElevationReader.Read([TrialData.File(field.Replace("_b", "", StringComparison.Ordinal) + ".tif")], new ElevationReadOptions { Window = FieldReader.ReadWindow(outline) }, stop);
        ground = GroundMending.Mend(ground, new GroundMendingOptions(), stop);
        RipLayout layout = KeylinePlanner.Design(ground.Grid, FieldReader.ReadField(outline, ground.Crs), new LayoutOptions { Spacing = 3.048 }, cancellationToken: stop).Layout;
        PlannedPath[] lines = [.. layout.Lines.Select(PlannedPath.Of)];

        // Lines left are longer than a way across that happens to run along a line.
        int[] longer = [.. Enumerable.Range(0, lines.Length).Where(k => lines[k].Line.Length > 80)];
        int[] left = [longer[4], longer[longer.Length / 2], longer[^9]];

        DrivenResult found = DrivenComparison.Compare(lines, [Drive(lines, left, east, north)], new DrivenOptions { Spacing = 3.048, TakesOffShift = true }, ground.Grid, stop);
        Assert.Equal(left.Select(k => lines[k].Id), found.Lines.Where(l => l.Passes == 0).Select(l => l.Id));
        Assert.Equal(0, found.Figures.LinesInPart);
        Assert.InRange(found.Figures.RootMeanSquareError, 0, 0.12);
        Assert.InRange(found.Figures.Repeated, 0, 0.01 * found.Figures.Planned);
        Assert.Equal(east, found.TakenOff?.East ?? 0, 0.05);
        Assert.Equal(north, found.TakenOff?.North ?? 0, 0.05);
    }

    private static LineString Drive(PlannedPath[] lines, int[] left, double east, double north)
    {
        Random chance = new(11);
        List<Coordinate> track = [];
        double wander = 0;
        for (int k = 0; k < lines.Length; k++)
        {
            if (left.Contains(k))
            {
                continue;
            }

            LengthIndexedLine line = new(lines[k].Line);
            for (double s = 0; s <= line.EndIndex; s += 1.7)
            {
                wander = (0.97 * wander) + (0.012 * ((2 * chance.NextDouble()) - 1));
                Coordinate at = line.ExtractPoint(s, wander);
                track.Add(new CoordinateZ(at.X + east + (0.01 * chance.NextDouble()), at.Y + north + (0.01 * chance.NextDouble()), double.NaN));
            }
        }

        return new LineString([.. track]);
    }
}
