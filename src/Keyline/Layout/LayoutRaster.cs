using Keyline.Elevation;
using Keyline.Field;
using Keyline.Landform;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>Everything a pattern asks of the ground, on one frame of working cells without holes: heights to lay lines on,
/// the land's slope, and position between valley and ridge.</summary>
/// <remarks>
/// <para>Units: metres, percent. Heights are smoothed only as far as a line of the implement's spacing can follow; the
/// land's slope is that of ground smoothed at the length of a machine.</para>
/// <para>Cost: linear in the cells of the field and its margin.</para>
/// </remarks>
internal sealed class LayoutRaster
{
    private const double SmoothingPerSpacing = 1.0;
    private const double LeastSmoothing = 3.0;
    private const double MostSmoothing = 10.0;
    private const double LeastSmoothingCells = 0.5;

    private LayoutRaster(GridFrame frame, double[] heights, double[] landSlope, double[] position)
    {
        Frame = frame;
        Heights = heights;
        LandSlope = landSlope;
        Position = position;
    }

    public GridFrame Frame { get; }

    public double[] Heights { get; }

    /// <summary>Slope of the land, percent.</summary>
    public double[] LandSlope { get; }

    /// <summary>Position between valley and ridge, as of <see cref="DriftPosition"/>.</summary>
    public double[] Position { get; }

    public static LayoutRaster Create(ElevationGrid ground, Grid<float> position, Envelope area, double margin, LayoutOptions options, CancellationToken cancellationToken)
    {
        ElevationGrid near = GroundReading.Cropped(ground, area, margin);
        double smoothing = Math.Max(Math.Clamp(SmoothingPerSpacing * options.Spacing, LeastSmoothing, MostSmoothing), LeastSmoothingCells * ground.Frame.CellSize);
        LayoutHeights laid = LayoutHeights.Create(GaussianSmoothing.ApplyTwice(near, smoothing, cancellationToken), area, margin);
        LayoutHeights land = LayoutHeights.Create(GaussianSmoothing.Apply(near, MachineSlope.SmoothingLength, cancellationToken), area, margin);
        GridFrame frame = laid.Frame;
        double[] slope = new double[laid.Heights.Length];
        double[] place = new double[slope.Length];
        Parallel.For(0, frame.Rows, WorkThreads.Options(cancellationToken), r =>
        {
            for (int c = 0; c < frame.Columns; c++)
            {
                int i = (r * frame.Columns) + c;
                slope[i] = 100 * land.Gradient(r, c).Norm;
                place[i] = GridSampling.Bilinear(position.Array, position.Frame, frame.CentreX(c), frame.CentreY(r));
            }
        });
        PullPush.Fill(place, frame.Rows, frame.Columns);
        return new LayoutRaster(frame, laid.Heights, slope, place);
    }

    /// <summary>The part of it around a box, cells copied.</summary>
    public LayoutRaster Window(Envelope box, double margin)
    {
        int top = Math.Clamp((int)Math.Floor(Frame.RowAt(box.MaxY + margin)), 0, Frame.Rows - 1);
        int bottom = Math.Clamp((int)Math.Ceiling(Frame.RowAt(box.MinY - margin)), top, Frame.Rows - 1);
        int left = Math.Clamp((int)Math.Floor(Frame.ColumnAt(box.MinX - margin)), 0, Frame.Columns - 1);
        int right = Math.Clamp((int)Math.Ceiling(Frame.ColumnAt(box.MaxX + margin)), left, Frame.Columns - 1);
        if (right - left + 1 == Frame.Columns && bottom - top + 1 == Frame.Rows)
        {
            return this;
        }

        GridFrame frame = new(bottom - top + 1, right - left + 1, Frame.CellSize, Frame.West + (left * Frame.CellSize), Frame.North - (top * Frame.CellSize));
        return new LayoutRaster(frame, Cut(Heights, frame), Cut(LandSlope, frame), Cut(Position, frame));
    }

    /// <summary>The cells of a field on this raster's frame that a window of it holds, copied.</summary>
    /// <param name="whole">A value for each cell of this raster.</param>
    /// <param name="window">Frame of a window of this raster.</param>
    public double[] Cut(double[] whole, GridFrame window)
    {
        int top = (int)Math.Round((Frame.North - window.North) / Frame.CellSize);
        int left = (int)Math.Round((window.West - Frame.West) / Frame.CellSize);
        double[] part = new double[window.Rows * window.Columns];
        for (int r = 0; r < window.Rows; r++)
        {
            Array.Copy(whole, ((top + r) * Frame.Columns) + left, part, r * window.Columns, window.Columns);
        }

        return part;
    }

    /// <summary>A value for each cell, given its centre and its number.</summary>
    public double[] Each(Func<double, double, int, double> value)
    {
        double[] values = new double[Heights.Length];
        for (int r = 0; r < Frame.Rows; r++)
        {
            for (int c = 0; c < Frame.Columns; c++)
            {
                int i = (r * Frame.Columns) + c;
                values[i] = value(Frame.CentreX(c), Frame.CentreY(r), i);
            }
        }

        return values;
    }

    /// <summary>Height gradient at a cell, metres per metre.</summary>
    public XY Gradient(int row, int column) => LayoutHeights.Gradient(Heights, Frame, row, column);
}
