using System.Globalization;
using System.Net;
using System.Text;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>Takes projected metres to millimetres on paper, north up, and writes the words of SVG and HTML.</summary>
internal sealed class Paper(Envelope ground, double width, double mostHeight, double edge)
{
    private readonly double _scale = Math.Min((width - (2 * edge)) / Math.Max(ground.Width, 1), (mostHeight - (2 * edge)) / Math.Max(ground.Height, 1));

    public double Scale => _scale;

    public double Height => (ground.Height * _scale) + (2 * edge);

    public (double X, double Y) At(double x, double y) => (((width - (ground.Width * _scale)) / 2) + ((x - ground.MinX) * _scale), edge + ((ground.MaxY - y) * _scale));

    public string Path(Geometry shape)
    {
        StringBuilder path = new();
        Add(shape, path);
        return path.ToString();
    }

    public static string N(double value) => value.ToString("0.##", CultureInfo.InvariantCulture);

    public static string Text(string text) => WebUtility.HtmlEncode(text);

    private void Add(Geometry shape, StringBuilder path)
    {
        switch (shape)
        {
            case Polygon { IsEmpty: false } area:
                Add(area.ExteriorRing, path);
                foreach (LineString hole in area.InteriorRings)
                {
                    Add(hole, path);
                }

                break;
            case LineString { IsEmpty: false } line:
                for (int i = 0; i < line.NumPoints; i++)
                {
                    Coordinate at = line.GetCoordinateN(i);
                    (double x, double y) = At(at.X, at.Y);
                    path.Append(i == 0 ? 'M' : 'L').Append(N(x)).Append(' ').Append(N(y));
                }

                break;
            case GeometryCollection many:
                foreach (Geometry part in many.Geometries)
                {
                    Add(part, path);
                }

                break;
        }
    }
}
