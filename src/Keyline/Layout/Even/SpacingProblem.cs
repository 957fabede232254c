namespace Keyline.Layout.Even;

/// <summary>The convex problem of even lines: at each node a vector V, the spacing times the gradient of the line count, whose
/// circulation around a face is the number of lines that must start or stop in it.</summary>
/// <remarks>
/// <para>V is plain: 1 long and normal to the lines where these lie a spacing apart.</para>
/// <para>The objective is ends times |circulation| summed over faces, plus weight times the Huber distance of V to the window of
/// its node (across the window's middle scaled by Across), plus pull/2 |V - middle|^2, plus bend/2 |difference|^2 along edges.</para>
/// <para>A window is the trapezoid about its middle direction of half angle arctan Tangent and lengths Least to Most.</para>
/// </remarks>
internal sealed class SpacingProblem
{
    private const double DefaultBend = 2.0;
    private const double DefaultHuber = 0.03;

    public SpacingProblem(int rows, int columns, double step, double least, double most, NodeSigns signs)
    {
        (Rows, Columns, Step, Least, Most, Signs) = (rows, columns, step, least, most, signs);
        int n = rows * columns;
        Domain = new bool[n];
        MiddleEast = new double[n];
        MiddleSouth = new double[n];
        Tangent = new double[n];
        Across = new double[n];
        Weight = new double[n];
        Pull = new double[n];
        Ends = new double[n];
    }

    public int Rows { get; }

    public int Columns { get; }

    /// <summary>Distance between nodes in spacings.</summary>
    public double Step { get; }

    /// <summary>Least length of V in a window.</summary>
    public double Least { get; }

    /// <summary>Greatest length of V in a window.</summary>
    public double Most { get; }

    public NodeSigns Signs { get; }

    public bool[] Domain { get; }

    public double[] MiddleEast { get; }

    public double[] MiddleSouth { get; }

    public double[] Tangent { get; }

    public double[] Across { get; }

    public double[] Weight { get; }

    public double[] Pull { get; }

    /// <summary>Cost of a unit of circulation around the face south-east of a node; 0 where there is no face.</summary>
    public double[] Ends { get; }

    public double Bend { get; init; } = DefaultBend;

    /// <summary>Distances up to this count squared, beyond it linearly.</summary>
    public double Huber { get; init; } = DefaultHuber;

    /// <summary>Puts a cost on every face whose four nodes count and around which a count goes through.</summary>
    public void PriceFaces(bool[] nodes, double cost)
    {
        for (int i = 0; i < nodes.Length - Columns; i++)
        {
            bool face = i % Columns < Columns - 1 && nodes[i] && nodes[i + 1] && nodes[i + Columns] && nodes[i + Columns + 1];
            Ends[i] = face && Signs.Face(i).Through ? cost : 0;
        }
    }

    /// <summary>Circulation around the face south-east of a node, in lines.</summary>
    public double Circulation(double[] east, double[] south, int i)
    {
        (int ne, int sw, int se, _) = Signs.Face(i);
        int below = i + Columns;
        return 0.5 * Step * (east[i] + (ne * east[i + 1]) - (sw * east[below]) - (se * east[below + 1])
            - south[i] - (sw * south[below]) + (ne * south[i + 1]) + (se * south[below + 1]));
    }

    /// <summary>The sum of |circulation| over priced faces: line ends that V asks for.</summary>
    public double LineEnds(double[] east, double[] south)
    {
        double sum = 0;
        for (int i = 0; i < Ends.Length; i++)
        {
            sum += Ends[i] > 0 ? Math.Abs(Circulation(east, south, i)) : 0;
        }

        return sum;
    }

    /// <summary>Distance of V to the window of a node, across scaled.</summary>
    public double Miss(double[] east, double[] south, int i)
    {
        double x = (east[i] * MiddleEast[i]) + (south[i] * MiddleSouth[i]);
        double y = Across[i] * ((south[i] * MiddleEast[i]) - (east[i] * MiddleSouth[i]));
        (double px, double py) = WindowShape.Nearest(x, y, Across[i] * Tangent[i], Least, Most);
        return Math.Sqrt(((x - px) * (x - px)) + ((y - py) * (y - py)));
    }

    /// <summary>The objective.</summary>
    public double Objective(double[] east, double[] south)
    {
        double sum = 0;
        for (int i = 0; i < Ends.Length; i++)
        {
            sum += Ends[i] > 0 ? Ends[i] * Math.Abs(Circulation(east, south, i)) : 0;
            if (!Domain[i])
            {
                continue;
            }

            double miss = Miss(east, south, i);
            sum += Weight[i] * (miss <= Huber ? miss * miss / (2 * Huber) : miss - (Huber / 2));
            sum += 0.5 * Pull[i] * (Square(east[i] - MiddleEast[i]) + Square(south[i] - MiddleSouth[i]));
            if (i % Columns < Columns - 1 && Domain[i + 1])
            {
                sum += 0.5 * Bend * (Square(east[i] - (Signs.East[i] * east[i + 1])) + Square(south[i] - (Signs.East[i] * south[i + 1])));
            }

            if (i + Columns < Domain.Length && Domain[i + Columns])
            {
                int below = i + Columns;
                sum += 0.5 * Bend * (Square(east[i] - (Signs.South[i] * east[below])) + Square(south[i] - (Signs.South[i] * south[below])));
            }
        }

        return sum;
    }

    private static double Square(double a) => a * a;
}
